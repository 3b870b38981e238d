import type { RunDiagnosis } from '@boardwright/core'
import { keepPreviousData, QueryClient, useMutation, useQuery, useQueryClient } from '@tanstack/react-query'
import { type Call, call } from './client.ts'
import { ProblemError } from './problem-error.ts'

export type UnitQuery = NonNullable<Call<'units'>['query']>

/** What is fetched is kept until a live event says that it has changed. */
export const makeQueryClient = (): QueryClient =>
  new QueryClient({
    defaultOptions: {
      // `always`: the server is on the bench; a workshop without internet is no reason to wait.
      queries: {
        networkMode: 'always',
        staleTime: 60_000,
        retry: (failures, error) =>
          failures < 2 && error instanceof ProblemError && error.note.code === 'server-unreachable',
        retryDelay: 400,
      },
      mutations: { networkMode: 'always' },
    },
  })

export const useUnits = (query: UnitQuery = {}) =>
  useQuery({
    queryKey: ['units', query],
    queryFn: ({ signal }) => call('units', { query, signal }),
    placeholderData: keepPreviousData,
  })

export const useUnit = (serial: string) =>
  useQuery({
    queryKey: ['unit', serial],
    queryFn: ({ signal }) => call('unit', { params: { serial }, signal }),
    enabled: serial !== '',
  })

/** A test run never changes once it is stored. */
export const useTestRun = (id: string) =>
  useQuery({
    queryKey: ['testRun', id],
    queryFn: ({ signal }) => call('testRun', { params: { id }, signal }),
    staleTime: Number.POSITIVE_INFINITY,
  })

export const useProducts = () =>
  useQuery({ queryKey: ['products'], queryFn: ({ signal }) => call('products', { signal }) })

/** Sends recordings; on success the run is kept as fetched and the lists are fetched again. */
export function useAddTestRun() {
  const client = useQueryClient()
  return useMutation({
    mutationFn: (body: FormData) => call('addTestRun', { body }),
    onSuccess: async (detail) => {
      client.setQueryData(['testRun', detail.run.id], detail)
      await Promise.all([
        client.invalidateQueries({ queryKey: ['units'] }),
        client.invalidateQueries({ queryKey: ['unit', detail.run.serial] }),
      ])
    },
  })
}

/** The suspects of a run; asked for only where there is something to suspect. */
export const useRunDiagnosis = (id: string, { enabled }: { enabled: boolean }) =>
  useQuery({
    queryKey: ['diagnosis', id],
    queryFn: async ({ signal }) => (await call('runDiagnosis', { params: { id }, signal })).diagnosis,
    staleTime: Number.POSITIVE_INFINITY,
    enabled,
  })

export const useDiagnosisFigures = () =>
  useQuery({ queryKey: ['figures', 'diagnosis'], queryFn: ({ signal }) => call('diagnosisFigures', { signal }) })

/** Tells what was measured by hand; the new suspects take the place of the old. */
export function useAddDiagnosis(id: string) {
  const client = useQueryClient()
  return useMutation({
    mutationFn: (body: Call<'addDiagnosis'>['body']) => call('addDiagnosis', { params: { id }, body }),
    onSuccess: ({ diagnosis }) => client.setQueryData(['diagnosis', id], diagnosis),
  })
}

/**
 * Records a rework. A diagnosis that was only looked at is kept first, so that it can be counted whether the suspicion was
 * right.
 */
export function useAddRework(run: { serial: string; diagnosis: RunDiagnosis | undefined }) {
  const client = useQueryClient()
  return useMutation({
    mutationFn: async (body: Call<'addRework'>['body']) => {
      const { serial, diagnosis } = run
      if (diagnosis?.id === null) await call('addDiagnosis', { params: { id: diagnosis.runId }, body: {} })
      return call('addRework', { params: { serial }, body })
    },
    onSuccess: () =>
      Promise.all([
        client.invalidateQueries({ queryKey: ['units'] }),
        client.invalidateQueries({ queryKey: ['unit', run.serial] }),
        client.invalidateQueries({ queryKey: ['diagnosis'] }),
        client.invalidateQueries({ queryKey: ['figures'] }),
      ]),
  })
}
