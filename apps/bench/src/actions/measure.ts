import {
  BoardwrightError,
  formatDb,
  formatDbfs,
  formatDuration,
  formatHz,
  formatPercent,
  type Measurement,
  measureRecording,
  type ResponseCurve,
} from '@boardwright/core'
import { readWaveFile, writeFileAside } from '@boardwright/core/audio'
import { type CommandContext, note, print, printJson } from '../command-context.ts'
import { exitCode } from '../exit-code.ts'
import { plainPlot, plotCurves } from '../plot/curve-plot.ts'
import { readSweepFile } from '../read-sweep-file.ts'
import { UsageError } from '../report-error.ts'
import { channelOf, type Side } from '../setting-recordings.ts'
import { csv } from '../text/csv.ts'

export interface MeasureOptions {
  sweep: string
  recording: string
  /** A file, or true for standard output. */
  csv?: string | true
  through?: string
  uncertainty?: number
  channel?: Side
  loopBack?: Side
}

interface Channels {
  channel?: number
  loopBackChannel?: number
}

/** The curve of the rig with a wire in place of the board. Errors: recording-refused. */
function throughCurve(path: string, sweep: ReturnType<typeof readSweepFile>, channels: Channels): ResponseCurve {
  const { usable, curve, findings } = measureRecording({ sweep, recording: readWaveFile(path), ...channels })
  if (usable && curve) return curve
  const why = findings.find((finding) => finding.severity === 'refuse')?.message ?? 'the sweep was not found in it'
  throw new BoardwrightError('recording-refused', `${path}, the recording of the rig itself, proves nothing: ${why}`)
}

const csvOf = (curve: ResponseCurve | null): string =>
  csv([
    ['frequencyHz', 'gainDb', 'phaseDeg', 'uncertaintyDb'],
    ...(curve?.frequencyHz.map((hz, i) => [hz, curve.gainDb[i], curve.phaseDeg[i], curve.uncertaintyDb[i]]) ?? []),
  ])

/** Distortion at the point nearest to 1 kHz, for the summary. */
function distortionWords({ distortion }: Measurement): string | undefined {
  if (!distortion || distortion.frequencyHz.length === 0) return
  const off = distortion.frequencyHz.map((hz) => Math.abs(Math.log(hz / 1000)))
  const nearest = off.indexOf(Math.min(...off))
  const percent = distortion.thdPercent[nearest]
  return `${percent > 0 ? formatPercent(percent) : 'under the noise'} at ${formatHz(distortion.frequencyHz[nearest])}`
}

function printSummary(context: CommandContext, path: string, result: Measurement) {
  print(context, `${result.usable ? '✓' : '↻'} ${path}: ${result.usable ? 'usable' : 'not usable, measure again'}`)
  for (const finding of result.findings) {
    print(context, `  ${finding.severity === 'refuse' ? '✗' : '·'} ${finding.message} [${finding.code}]`)
    print(context, `    ${finding.remedy}`)
  }
  const { curve, noise } = result
  if (!curve) return
  if (result.gainAt1kHzDb !== null) print(context, `  Gain at 1 kHz   ${formatDb(result.gainAt1kHzDb, { digits: 2 })}`)
  print(
    context,
    `  Uncertainty     ${formatDb(Math.max(...curve.uncertaintyDb), { digits: 3 })} at most (standard uncertainty)`,
  )
  const thd = distortionWords(result)
  if (thd) print(context, `  Distortion      ${thd} (total of harmonics 2 to 5)`)
  if (noise)
    print(
      context,
      `  Noise           ${formatDbfs(noise.unweightedDbfs)}, A-weighted ${formatDbfs(noise.aWeightedDbfs)}`,
    )
  print(
    context,
    `  Delay           ${formatDuration(result.delayS)}${result.polarity === 1 ? '' : ', polarity turned'}`,
  )
  const columns = Math.max(60, Math.min(100, context.stdout.columns ?? 80))
  print(
    context,
    plainPlot(plotCurves({ columns, rows: 16, curve: { frequencyHz: curve.frequencyHz, valueDb: curve.gainDb } })),
  )
}

/** `boardwright measure`: one recording against the sweep that was played. */
export function measure(context: CommandContext, options: MeasureOptions) {
  // A lone hyphen is standard output, as programs of a shell have it.
  const csvTo = options.csv === '-' ? true : options.csv
  if (csvTo === true && context.json) throw new UsageError('--json and --csv cannot both write to standard output.')
  const sweep = readSweepFile(options.sweep)
  const channels = { channel: channelOf(options.channel), loopBackChannel: channelOf(options.loopBack) }
  const recording = readWaveFile(options.recording)
  const correction = options.through === undefined ? undefined : throughCurve(options.through, sweep, channels)
  const result = measureRecording({
    sweep,
    recording,
    ...channels,
    correction,
    wantedUncertaintyDb: options.uncertainty,
  })
  const { usable, curve, gainAt1kHzDb, distortion, noise, findings, delayS, polarity } = result
  if (csvTo === true) print(context, csvOf(curve))
  else if (csvTo !== undefined) writeFileAside(csvTo, csvOf(curve))
  if (context.json)
    printJson(context, {
      usable,
      curve,
      gainAt1kHzDb,
      distortion,
      noise,
      findings,
      delayS,
      polarity,
      rateHz: recording.rateHz,
    })
  else if (csvTo === true) for (const finding of findings) note(context, `${finding.message} ${finding.remedy}`)
  else printSummary(context, options.recording, result)
  return usable ? exitCode.ok : exitCode.repeat
}
