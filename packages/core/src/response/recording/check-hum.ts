import type { Finding } from '../../model/finding.ts'
import { formatDb, formatDbfs } from '../../model/format.ts'
import { humAmplitude } from '../hum/find-hum.ts'
import { levelDbfs, recordingFinding } from './recording-finding.ts'
import type { RecordingView } from './recording-view.ts'

/** Hum under this level is on every recording, and takes no word once it is taken out, dBFS. */
const quietDbfs = -90
/** What is left under this is not worth a number, dB. */
const negligibleDb = 0.001

/**
 * `mains-hum`: multiples of 50 or 60 Hz in the recording. They are taken out before the curve is made; a note while what is
 * left of them stays within the wanted uncertainty, else the recording is refused.
 */
export function checkHum({ measured, wantedUncertaintyDb }: RecordingView): Finding[] {
  const { hum, humLeftDb } = measured
  if (!hum) return []
  const level = levelDbfs(humAmplitude(hum))
  const refused = humLeftDb > wantedUncertaintyDb
  if (level < quietDbfs && !refused) return []
  const left = humLeftDb < negligibleDb ? 'nothing' : `an uncertainty of ${formatDb(humLeftDb, { digits: 3 })}`
  const effect = refused
    ? `it is not steady, and leaves an uncertainty of up to ${formatDb(humLeftDb, { digits: 2 })} in the curve`
    : `it was taken out, and leaves ${left} in the curve`
  return [
    recordingFinding({
      code: 'mains-hum',
      severity: refused ? 'refuse' : 'note',
      message: `There is ${hum.mainsHz} Hz mains hum in the recording (${formatDbfs(level)}); ${effect}.`,
    }),
  ]
}
