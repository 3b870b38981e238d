import { spawn } from 'node:child_process'
import { mkdirSync } from 'node:fs'
import { join } from 'node:path'
import { writeFileAside } from '@boardwright/core/audio'
import { makeUnitLabel, type UnitLabelFacts } from '@boardwright/core/papers'
import { problemOf } from './problem-of.ts'

/** Where labels go. */
export interface LabelWay {
  folder: string
  /** Is given the path of the label as its last word, such as `lp -d NAME`. */
  printCommand?: string
}

export interface LabelOutcome {
  /** The file; null when not even that could be written. */
  path: string | null
  printed: boolean
  /** What went wrong, in a sentence. The verdict stands all the same, and the label can be made again. */
  problem?: string
}

const printLimitMs = 60_000

/** The words of a command, as a shell would part them: quotes hold words together, nothing else is special. */
export const commandWords = (command: string): string[] =>
  [...command.matchAll(/"([^"]*)"|'([^']*)'|(\S+)/g)].map(([, double, single, plain]) => double ?? single ?? plain)

/** Makes the label of a unit, and has it printed where a command was given. Never throws: a verdict hangs on no printer. */
export async function printLabel(facts: UnitLabelFacts, way: LabelWay): Promise<LabelOutcome> {
  const path = join(way.folder, `${facts.serial}.pdf`)
  try {
    const { pdf } = await makeUnitLabel(facts)
    mkdirSync(way.folder, { recursive: true })
    writeFileAside(path, pdf)
  } catch (error) {
    return { path: null, printed: false, problem: `The label could not be written: ${problemOf(error).message}` }
  }
  if (way.printCommand === undefined) return { path, printed: false }
  const problem = await runPrinter(way.printCommand, path)
  return problem === undefined ? { path, printed: true } : { path, printed: false, problem }
}

/** @returns what went wrong, undefined when the printer took it */
function runPrinter(command: string, path: string): Promise<string | undefined> {
  const [program, ...words] = commandWords(command)
  if (program === undefined) return Promise.resolve('The print command is empty.')
  return new Promise((resolve) => {
    let said = ''
    const printer = spawn(program, [...words, path], { stdio: ['ignore', 'ignore', 'pipe'], timeout: printLimitMs })
    printer.stderr.on('data', (piece) => {
      said = `${said}${piece}`.slice(-200)
    })
    printer.on('error', (error) => resolve(`"${program}" did not start: ${error.message}.`))
    printer.on('close', (code, signal) => {
      if (code === 0) resolve(undefined)
      else if (signal) resolve(`"${program}" did not end within ${printLimitMs / 1000} s.`)
      else
        resolve(`"${program}" refused the label (${code})${said.trim() ? `: ${said.trim().split('\n').at(-1)}` : '.'}`)
    })
  })
}
