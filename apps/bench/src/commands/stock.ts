import { type Command, Option } from 'commander'
import { collectColumn, collectMeasured, parseNumber, parsePositive, parseWhole } from '../parse-option.ts'
import type { Attach, Declare } from './declare.ts'

const kinds = ['resistor', 'capacitor', 'potentiometer', 'diode', 'op-amp', 'connector', 'circuit-board', 'other']
const bodies = ['axial', 'radial', 'film-box', 'disc', 'chip', 'dual-in-line', 'potentiometer', 'diode', 'connector']
const lotStates = ['accepted', 'held', 'refused', 'awaiting-inspection']
const levels = ['I', 'II', 'III', 'S-1', 'S-2', 'S-3', 'S-4']
const csvOption = ['--csv [file]', 'write it as CSV (RFC 4180) to the file, or to standard output'] as const
const pieces = parseWhole({ least: 0, most: 10_000_000 })

/** The one operand of a command under the name that its action has for it. */
type Operand = { operand?: string }

function declareLooking(stock: Command, attach: Attach) {
  const list = stock
    .command('list')
    .summary('parts and how many there are; with --lots the lots')
    .option('--lots', 'lots, oldest first')
    .option('--part <number>', 'only the lots of this part')
    .addOption(new Option('--state <state>', 'only lots in this state').choices(lotStates))
    .option(...csvOption)
  attach(list, async () => (await import('../actions/stock-list.ts')).stockList)
  const trace = stock
    .command('trace <lot>')
    .summary('which units have pieces of a lot inside, and who must be told')
    .option(...csvOption)
    .addHelpText(
      'after',
      `
A unit whose piece was replaced in a rework no longer counts.

Examples:
  boardwright stock trace L-0016
  boardwright stock trace L-0016 --csv recall.csv`,
    )
  attach(trace, async () => {
    const { stockTrace } = await import('../actions/stock-trace.ts')
    return (context, options: Operand & { csv?: string | true }) =>
      stockTrace(context, { ...options, lot: options.operand ?? '' })
  })
}

function declareReceiving(stock: Command, attach: Attach) {
  const receive = stock
    .command('receive <part>')
    .summary('take a delivery into stock, as a lot of its own')
    .requiredOption('--pieces <n>', 'how many came', pieces)
    .option('--lot <name>', 'what its bag is labelled with; the next number unless told')
    .option('--date-code <code>', 'as printed: 2611 is week 11 of 2026')
    .option('--price <price>', 'for one piece, such as "0.38 EUR"')
    .option('--supplier <name>', 'who it came from, when not the usual one')
    .option('--certificate <path>', 'where its certificate is kept')
    .option('--photo <path>', 'where a photo of the bag is kept')
    .option('--measured <name=value>', 'a piece that was measured; may be given often', collectMeasured)
    .option('--note <text>', 'anything else worth keeping')
    .addHelpText('after', '\nExample:\n  boardwright stock receive MF25-47K --pieces 100 --date-code 2546')
  attach(receive, async () => {
    const { stockReceive } = await import('../actions/stock-change.ts')
    return (context, options: Operand & Omit<Parameters<typeof stockReceive>[1], 'part'>) =>
      stockReceive(context, { ...options, part: options.operand ?? '' })
  })
  const part = stock
    .command('part <number>')
    .summary('add a part, or change what is known of one')
    .addOption(new Option('--kind <kind>', 'what it is').choices(kinds))
    .option('--value <value>', 'such as "47 kohm" or "33 nF"')
    .option('--tolerance-percent <n>', 'such as 1', parsePositive)
    .addOption(new Option('--body <body>', 'its outline').choices(bodies))
    .option('--lead-pitch-mm <mm>', 'distance of its leads as it comes', parsePositive)
    .option('--rated-voltage-v <v>', 'highest direct voltage', parsePositive)
    .option('--polarised', 'fits one way round only')
    .option('--static-sensitive', 'harmed by static')
    .option('--manufacturer <name>', 'who makes it')
    .option('--supplier <name>', 'who sells it')
    .option('--price <price>', 'for one piece, such as "0.38 EUR"')
    .option('--lead-time-days <n>', 'from order to arrival', parseWhole({ least: 0, most: 1000 }))
    .addOption(new Option('--inspect <how>', 'what is done with an arriving lot').choices(['none', 'all', 'sample']))
    .addOption(new Option('--level <level>', 'of the sampling plan (II)').choices(levels))
    .option('--limit-percent <n>', 'acceptance quality limit of the sampling plan (1)', parseNumber)
    .addHelpText(
      'after',
      '\nExample:\n  boardwright stock part DA-2X3 --kind op-amp --inspect sample --limit-percent 4',
    )
  attach(part, async () => {
    const { stockPart } = await import('../actions/stock-change.ts')
    return (context, { operand, ...options }: Operand & Omit<Parameters<typeof stockPart>[1], 'number'>) =>
      stockPart(context, { ...options, number: operand ?? '' })
  })
}

function declareChecking(stock: Command, attach: Attach) {
  const count = stock
    .command('count <lot>')
    .summary('set the stock of a lot right after counting it')
    .requiredOption('--pieces <n>', 'how many there are', pieces)
    .requiredOption('--reason <text>', 'why it differs; it stays with the lot')
  attach(count, async () => {
    const { stockCount } = await import('../actions/stock-change.ts')
    return (context, options: Operand & Omit<Parameters<typeof stockCount>[1], 'lot'>) =>
      stockCount(context, { ...options, lot: options.operand ?? '' })
  })
  const inspect = stock
    .command('inspect <lot>')
    .summary('take up how one piece did in the socketed board')
    .option('--good', 'the piece is good')
    .option('--bad', 'the piece is bad')
    .option('--run <id>', 'the test run of the board with this piece in it decides')
    .option('--note <text>', 'anything worth keeping')
    .addHelpText(
      'after',
      '\nWithout --good, --bad and --run it only says how far the inspection is.\nExit codes: 0 accepted or not decided yet, 1 held or refused.',
    )
  attach(inspect, async () => {
    const { stockInspect } = await import('../actions/stock-change.ts')
    return (context, options: Operand & Omit<Parameters<typeof stockInspect>[1], 'lot'>) =>
      stockInspect(context, { ...options, lot: options.operand ?? '' })
  })
  const decide = stock
    .command('decide <lot>')
    .summary('accept, hold or refuse a lot')
    .addOption(new Option('--state <state>', 'what becomes of it').choices(lotStates.slice(0, 3)).makeOptionMandatory())
    .requiredOption('--reason <text>', 'why; it stays with the lot')
  attach(decide, async () => {
    const { stockDecide } = await import('../actions/stock-change.ts')
    return (context, options: Operand & Omit<Parameters<typeof stockDecide>[1], 'lot'>) =>
      stockDecide(context, { ...options, lot: options.operand ?? '' })
  })
}

function declareImport(stock: Command, attach: Attach) {
  const load = stock
    .command('import <file>')
    .summary('read parts and lots from a CSV file with columns in any order')
    .option('--column <field=heading>', 'which heading is which field; may be given often', collectColumn)
    .option('--check', 'read and report only; store nothing')
    .option('--refused <file>', 'write the refused lines there, to mend and read in again')
    .addHelpText(
      'after',
      `
A line with pieces is a lot, one without tells of the part only. A new part
needs a kind, a resistor or capacitor a value. Fields: part, manufacturer, kind,
value, tolerance, ratedVoltage, body, leadPitch, polarised, price, currency,
supplier, leadTime, pieces, lot, dateCode, certificate, note.
Exit codes: 0 all lines taken, 1 some refused (the others are stored).

Examples:
  boardwright stock import drawers.csv --check
  boardwright stock import drawers.csv --column part="Our number" \\
    --refused mend.csv`,
    )
  attach(load, async () => {
    const { stockImport } = await import('../actions/stock-import.ts')
    return (context, { operand, column, ...options }: Operand & { column?: Record<string, string>; check?: boolean }) =>
      stockImport(context, { ...options, columns: column, path: operand ?? '' })
  })
}

export const declareStock: Declare = (program, attach) => {
  const stock = program.command('stock').summary('parts, lots and what is left of them')
  declareLooking(stock, attach)
  declareReceiving(stock, attach)
  declareChecking(stock, attach)
  declareImport(stock, attach)
}
