import { z } from 'zod'
import { Serial } from '../model/unit.ts'

/** Fields of the multipart body of POST /api/test-runs; each recording is a file part named `setting.NAME`. */
export const TestRunFields = z.object({
  serial: Serial,
  /** Product of a serial number not seen before; may be left out where there is only one product. */
  productId: z.string().min(1).max(64).optional(),
  loopBackChannel: z.enum(['left', 'right']).optional(),
  /** Where the recordings come from: files made elsewhere, or the page itself, which played and recorded. */
  rig: z.enum(['upload', 'sound-interface']).default('upload'),
})
export type TestRunFields = z.infer<typeof TestRunFields>

/** A recording's part is this and the name of the setting: `setting.max`. */
export const settingPartPrefix = 'setting.'
/** File part with the sweep that was played; may be left out when it was the test plan's. */
export const sweepPart = 'sweep'

/** How much one upload may carry. 64 MB are 3.8 minutes of 24-bit stereo at 48 kHz. */
export const uploadLimits = { bytesPerFile: 64_000_000, bytesInAll: 256_000_000, files: 17, fieldBytes: 256 } as const
