import { useQuery } from '@tanstack/react-query'
import { call } from '../api/client.ts'

export const useHardRuns = (serial: string) =>
  useQuery({
    queryKey: ['unit', serial, 'hard'],
    queryFn: ({ signal }) => call('hardRuns', { params: { serial }, signal }),
  })

/** A run never changes once it is stored. */
export const useHardRun = (id: string | undefined) =>
  useQuery({
    queryKey: ['hardRun', id],
    queryFn: ({ signal }) => call('hardRun', { params: { id: id ?? '' }, signal }),
    staleTime: Number.POSITIVE_INFINITY,
    enabled: id !== undefined,
  })
