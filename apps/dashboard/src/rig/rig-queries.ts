import { useMutation, useQuery, useQueryClient } from '@tanstack/react-query'
import { call } from '../api/client.ts'

export const useRigChecks = () =>
  useQuery({ queryKey: ['rigChecks'], queryFn: ({ signal }) => call('rigChecks', { signal }) })

export const useGaugeStudies = () =>
  useQuery({ queryKey: ['gaugeStudies'], queryFn: ({ signal }) => call('gaugeStudies', { signal }) })

export const useGaugeStudy = (id: number | undefined) =>
  useQuery({
    queryKey: ['gaugeStudies', id],
    queryFn: ({ signal }) => call('gaugeStudy', { params: { id: id ?? 0 }, signal }),
    enabled: id !== undefined,
  })

/** Takes units off the shelf that must be tested again; the lists are fetched again. */
export function useTakeBack() {
  const client = useQueryClient()
  return useMutation({
    mutationFn: (serials: string[]) => call('takeBack', { body: { serials } }),
    onSuccess: () =>
      Promise.all([
        client.invalidateQueries({ queryKey: ['rigChecks'] }),
        client.invalidateQueries({ queryKey: ['units'] }),
        client.invalidateQueries({ queryKey: ['unit'] }),
      ]),
  })
}

/** Lets the judge count with a study. */
export function useAcceptGaugeStudy() {
  const client = useQueryClient()
  return useMutation({
    mutationFn: (id: number) => call('acceptGaugeStudy', { params: { id }, body: {} }),
    onSuccess: () => client.invalidateQueries({ queryKey: ['gaugeStudies'] }),
  })
}
