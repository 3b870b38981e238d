import { BoardwrightError } from '../../model/error.ts'
import { formatDb, formatHz } from '../../model/format.ts'
import type { Reference, ReferenceSetting } from '../../model/reference.ts'
import type { ResponseCurve } from '../../model/response-curve.ts'
import type { SettingMeasurement } from '../../model/test-run.ts'
import { meanCurve } from '../curve/mean-curve.ts'

type UsableRun = SettingMeasurement & { curve: ResponseCurve; gainAt1kHzDb: number }

/**
 * Makes a reference from one or more measured runs of the reference board at each setting.
 *
 * Per setting: the mean of gain (dB) and phase (deg) over the runs, the run-to-run standard deviation per point, the
 * standard uncertainty of the mean, the mean gain at 1 kHz, and the polarity, which all runs must share.
 * One run per setting is allowed; its uncertainty is then only its own noise, and the note says so.
 * @param options.runs measurements of the reference board, any order; those of one setting belong together
 * @param options.largestSpreadDb greatest difference between two runs of one setting at any point where the band could
 * be judged (within 40 dB of the greatest gain), dB; beyond it a knob was moved or a contact is bad
 * @throws BoardwrightError `recording-refused` for a run that is not usable, or that differs in polarity or grid;
 * `reference-not-repeatable` when the runs of a setting differ too much; `setting-missing` without any run
 */
export function makeReference(
  options: Omit<Reference, 'settings' | 'rigSettings'> &
    Partial<Pick<Reference, 'rigSettings'>> & { runs: readonly SettingMeasurement[]; largestSpreadDb?: number },
): Reference {
  const { runs, largestSpreadDb = 1, rigSettings = null, ...head } = options
  if (runs.length === 0) throw new BoardwrightError('setting-missing', 'A reference needs at least one run.')
  const bySetting = new Map<string, SettingMeasurement[]>()
  for (const run of runs) bySetting.set(run.setting, [...(bySetting.get(run.setting) ?? []), run])
  const settings = [...bySetting].map(([setting, of]) => referenceSetting(setting, of, largestSpreadDb))
  return { ...head, rigSettings, note: noteWithRuns(head.note, settings), settings }
}

function referenceSetting(setting: string, runs: SettingMeasurement[], largestSpreadDb: number): ReferenceSetting {
  const usable = runs.map((run, i) => usableRun(run, i, runs[0]))
  const mean = meanCurve(usable.map((run) => run.curve))
  if (mean.largestSpread && mean.largestSpread.spreadDb > largestSpreadDb)
    throw new BoardwrightError(
      'reference-not-repeatable',
      `The ${runs.length} runs at "${setting}" differ by ${formatDb(mean.largestSpread.spreadDb)} at ${formatHz(mean.largestSpread.frequencyHz)} (at most ${formatDb(largestSpreadDb)}).`,
    )
  return {
    setting,
    runs: runs.length,
    polarity: usable[0].polarity,
    curve: mean.curve,
    repeatabilityDb: mean.repeatabilityDb,
    gainAt1kHzDb: usable.reduce((sum, run) => sum + run.gainAt1kHzDb, 0) / usable.length,
  }
}

/** The run, proven usable and comparable with the first one of its setting. */
function usableRun(run: SettingMeasurement, index: number, first: SettingMeasurement): UsableRun {
  const refuse = (why: string) =>
    new BoardwrightError(
      'recording-refused',
      `Run ${index + 1} at "${run.setting}" (${run.origin}) cannot be used: ${why}`,
    )
  const { curve, gainAt1kHzDb } = run
  if (!run.usable || curve === null || gainAt1kHzDb === null || curve.frequencyHz.length === 0)
    throw refuse(run.findings.find((f) => f.severity === 'refuse')?.message ?? 'it has no response curve.')
  if (run.polarity !== first.polarity) throw refuse('it is upside down against the first run.')
  const grid = first.curve?.frequencyHz ?? []
  const sameGrid =
    curve.frequencyHz.length === grid.length && curve.frequencyHz.every((f, i) => Math.abs(f / grid[i] - 1) < 1e-9)
  if (!sameGrid) throw refuse('its sweep covers other frequencies than the first run.')
  return { ...run, curve, gainAt1kHzDb }
}

function noteWithRuns(note: string, settings: readonly ReferenceSetting[]): string {
  const single = settings.filter((s) => s.runs === 1).map((s) => `"${s.setting}"`)
  if (single.length === 0) return note
  const added = `One run only at ${single.join(', ')}: the uncertainty there is the recording's own noise, without the spread from contact to contact.`
  return note ? `${note} ${added}` : added
}
