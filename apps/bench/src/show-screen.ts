import { render } from 'ink'
import type { ReactElement } from 'react'

// DEC private mode 1049: a second screen, so that what stood in the terminal is there again afterwards.
const enterScreen = '\x1b[?1049h\x1b[2J\x1b[H'
const leaveScreen = '\x1b[?1049l\x1b[?25h'

/** After the first frame, and in pieces, so that keys are answered in between; ms. */
const warmUpTimes = [300, 700, 1100]

/** What stands in the way of a test is told when one is started. */
const toldWithTest = () => {}

/**
 * Shows a screen in this terminal; resolves when it is left. The terminal is restored however the program ends.
 * @param warmUp goes through a test without a board while nobody waits
 */
export async function showScreen(screen: ReactElement, warmUp: () => Promise<void>): Promise<void> {
  const restore = () => process.stdout.write(leaveScreen)
  process.stdin.setRawMode(true) // before the first frame: a key pressed at once is a key, and Ctrl-C leaves in order
  process.stdout.write(enterScreen)
  process.once('exit', restore)
  // What a smaller or larger window leaves behind belongs to no frame.
  const clear = () => process.stdout.write('\x1b[2J\x1b[H')
  process.stdout.prependListener('resize', clear)
  const app = render(screen, { exitOnCtrlC: true })
  const warming = warmUpTimes.map((ms) => setTimeout(() => warmUp().catch(toldWithTest), ms))
  const stop = () => app.unmount()
  for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP'] as const) process.once(signal, stop)
  try {
    await app.waitUntilExit()
  } finally {
    for (const timer of warming) clearTimeout(timer)
    process.stdout.off('resize', clear)
    process.off('exit', restore)
    restore()
    process.stdin.setRawMode(false)
  }
}
