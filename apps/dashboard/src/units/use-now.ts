import { useEffect, useState } from 'react'

/** The time, renewed often enough for "5 min ago". */
export function useNow({ everyMs = 30_000 }: { everyMs?: number } = {}): Date {
  const [now, setNow] = useState(() => new Date())
  useEffect(() => {
    const timer = setInterval(() => setNow(new Date()), everyMs)
    return () => clearInterval(timer)
  }, [everyMs])
  return now
}
