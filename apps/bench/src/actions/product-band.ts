import { readFileSync } from 'node:fs'
import { BoardwrightError, formatDb, formatHz, ToleranceBand } from '@boardwright/core'
import type { ProductBand, ProductBandReport } from '@boardwright/core/workshop'
import { type CommandContext, print, printJson } from '../command-context.ts'
import { exitCode } from '../exit-code.ts'
import { withWorkshop } from '../open-workshop.ts'
import type { BandPoint } from '../parse-option.ts'
import { UsageError } from '../report-error.ts'
import { textTable } from '../text/table.ts'

export interface BandOptions {
  id?: string
  from?: 'tolerance' | 'units'
  yield?: number
  widen?: number
  last?: number
  at?: BandPoint[]
  bands?: string
  bend?: number[]
  save?: string
}

/** `boardwright product band`: makes the tolerance band, prints it, and keeps it with `--save`. */
export function productBand(context: CommandContext, options: BandOptions) {
  const from = basisOf(options)
  return withWorkshop(context, {}, (workshop) => {
    const report = workshop.productBand({
      productId: options.id,
      from,
      breakpointsHz: options.bend,
      ...(options.save === undefined ? {} : { saveAs: { revision: options.save } }),
    })
    if (context.json) printJson(context, { ...report, product: undefined, saved: report.product?.revision ?? null })
    else printReport(context, report)
    return exitCode.ok
  })
}

function basisOf(options: BandOptions): ProductBand['from'] {
  const { from, at, bands, last = 20 } = options
  const isByHand = at !== undefined || bands !== undefined
  if ((from === undefined) === !isByHand)
    throw new UsageError(
      'Say where the band comes from: --from tolerance, --from units, or breakpoints with --at or --bands.',
    )
  if (from !== 'tolerance' && (options.yield !== undefined || options.widen !== undefined))
    throw new UsageError('--yield and --widen belong to --from tolerance.')
  if (from !== 'units' && options.last !== undefined) throw new UsageError('--last belongs to --from units.')
  if (isByHand && options.bend) throw new UsageError('--bend is for a band that is worked out: by hand, --at says it.')
  if (isByHand) return { kind: 'by-hand', points: [...(bands === undefined ? [] : readBands(bands)), ...(at ?? [])] }
  if (from === 'units') return { kind: from, last }
  return {
    kind: 'tolerance',
    ...(options.yield === undefined ? {} : { yield: options.yield / 100 }),
    ...(options.widen === undefined ? {} : { widenDb: options.widen }),
  }
}

/** Bands in a file: a list of them, or what this command prints with --json. */
function readBands(path: string): BandPoint[] {
  const refuse = (why: string, cause?: unknown) =>
    new BoardwrightError('bad-argument', `${path} holds no tolerance bands: ${why}.`, { cause })
  let data: unknown
  try {
    data = JSON.parse(readText(path).replace(/^\uFEFF/, ''))
  } catch (cause) {
    if (cause instanceof SyntaxError) throw refuse('it is not JSON', cause)
    throw cause
  }
  const list = Array.isArray(data) ? data : (data as { bands?: unknown } | null)?.bands
  const parsed = ToleranceBand.array().min(1).safeParse(list)
  if (!parsed.success) {
    const [{ path: place, message }] = parsed.error.issues
    throw refuse(`${place.join('.') || 'the whole file'}: ${message}`)
  }
  return parsed.data.flatMap(({ setting, breakpoints }) => breakpoints.map((point) => ({ setting, ...point })))
}

function readText(path: string): string {
  try {
    return readFileSync(path, 'utf8')
  } catch (cause) {
    throw new BoardwrightError('file-not-readable', `${path} cannot be read: ${(cause as Error).message}.`, { cause })
  }
}

function printReport(
  context: CommandContext,
  { bands, before, basis, healthyShare, product, productId }: ProductBandReport,
) {
  const limits = ({ upperDb, lowerDb }: ToleranceBand['breakpoints'][number]) =>
    `${formatDb(upperDb, { digits: 2, signed: true })} / ${formatDb(lowerDb, { digits: 2, signed: true })}`
  const source = {
    tolerance: 'from the tolerances of its parts',
    'by-hand': 'by hand',
    units: basis.kind === 'units' ? `from ${basis.serials.length} units: ${basis.serials.join(', ')}` : '',
  }[basis.kind]
  print(context, `Tolerance band of ${productId}, ${source}`)
  const rows = bands.flatMap(({ setting, breakpoints }) =>
    breakpoints.map((point) => {
      const old = before.find((band) => band.setting === setting)?.breakpoints
      const was = old?.find(({ frequencyHz }) => frequencyHz === point.frequencyHz)
      return [`  ${setting}`, formatHz(point.frequencyHz), limits(point), was ? `was ${limits(was)}` : '']
    }),
  )
  print(context, textTable(rows))
  const percent = (share: number) => (share > 0.9995 ? 'more than 99.9 %' : `${(100 * share).toFixed(1)} %`)
  print(
    context,
    `Of boards drawn with their parts' tolerances ${percent(healthyShare.bands)} keep inside (the present band: ${percent(healthyShare.before)}).`,
  )
  print(
    context,
    product
      ? `Kept as revision ${product.revision}; units made from now on are built to it.`
      : 'Not kept: --save REVISION makes it a new revision of the product.',
  )
}
