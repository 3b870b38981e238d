import type { Workshop } from '@boardwright/core/workshop'
import { useEffect, useState } from 'react'

const pollMs = 400

/** A number that changes whenever any program has written to the workshop; lists read again when it does. */
export function useWorkshopVersion(workshop: Workshop): number {
  const [version, setVersion] = useState(() => workshop.dataVersion())
  useEffect(() => {
    const timer = setInterval(() => setVersion(workshop.dataVersion()), pollMs)
    return () => clearInterval(timer)
  }, [workshop])
  return version
}
