import { useStdout } from 'ink'
import { useEffect, useState } from 'react'

/** Size of the terminal in character cells, kept up to date when the window is resized. */
export function useTerminalSize(): { columns: number; rows: number } {
  const { stdout } = useStdout()
  const read = () => ({ columns: stdout.columns || 80, rows: stdout.rows || 24 })
  const [size, setSize] = useState(read)
  useEffect(() => {
    const update = () => setSize({ columns: stdout.columns || 80, rows: stdout.rows || 24 })
    stdout.on('resize', update)
    return () => {
      stdout.off('resize', update)
    }
  }, [stdout])
  return size
}
