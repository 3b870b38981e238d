import { z } from 'zod'
import { SweepSettings } from '../../model/sweep.ts'

const SweepMetadata = z.object({ boardwrightSweep: z.literal(1), settings: SweepSettings })

/** Text to keep with a sweep file, so that its stimulus is known exactly when the file comes back. */
export const sweepMetadata = (settings: SweepSettings): string =>
  JSON.stringify({ boardwrightSweep: 1, settings } satisfies z.infer<typeof SweepMetadata>)

/** The settings in such a text, or null when it is something else. */
export const parseSweepMetadata = (text: string | undefined): SweepSettings | null => {
  try {
    return SweepMetadata.parse(JSON.parse(text ?? '')).settings
  } catch {
    return null
  }
}
