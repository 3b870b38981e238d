// The whole command `boardwright` on a private sound server, with an equaliser that is not ours as the board: used by the
// tests and by twenty-tests.mjs.
import { spawn } from 'node:child_process'
import { readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { Product } from '@boardwright/core'
import { openStore } from '@boardwright/core/store'
import { makeWorkshop } from '@boardwright/core/workshop'

const command = fileURLToPath(new URL('../../apps/bench/bin/boardwright.mjs', import.meta.url))
const plover = JSON.parse(readFileSync(new URL('../../shared/products/plover.json', import.meta.url), 'utf8'))

/** The Plover with a short sweep, judged by its curves alone: the equaliser is none of its circuit's boards. */
export function equaliserProduct(durationS = 1) {
  const { mirror, shape, hard, rigCheck, ...testPlan } = plover.testPlan
  return Product.parse({ ...plover, testPlan: { ...testPlan, stimulus: { ...testPlan.stimulus, durationS } } })
}

/** Makes a workshop file with one product. */
export function makeWorkshopFile(file, product) {
  const workshop = makeWorkshop({ store: openStore(file, { create: true }), station: 'bench' })
  workshop.addProduct(product)
  workshop.close()
}

/** Gains of the equaliser, low, mid and high, dB: the board at each setting, a wire, and one with too little treble. */
export const boards = { max: [6, 0, 6], min: [-12, 0, -12], wire: [0, 0, 0], dull: [6, 0, 0] }

/** A board in the rig that can be changed while nothing plays. */
export function makeBoard(server, master = 'rig') {
  let module
  return {
    /** Puts the board in, in place of what was there. */
    put(gains, into = master) {
      this.takeOut()
      const equaliser = `plugin=dj_eq_1901 label=dj_eq_mono control=${gains.join(',')}`
      module = server.load(`module-ladspa-sink sink_name=board sink_master=${into} ${equaliser}`)
    },
    takeOut() {
      if (module !== undefined) server.control('unload-module', String(module))
      module = undefined
    },
  }
}

/** Starts `boardwright` as a person would, without a terminal; answers go to its standard input. */
export function startBoardwright(args, { environment, file, limitKilobytes }) {
  const { BOARDWRIGHT_STATION: _, ...inherited } = environment
  const env = { ...inherited, NODE_ENV: 'production', BOARDWRIGHT_FILE: file }
  const words = [command, ...args]
  const limited = ['-c', `ulimit -f ${limitKilobytes}; exec "$0" "$@"`, process.execPath, ...words]
  const child = limitKilobytes ? spawn('bash', limited, { env }) : spawn(process.execPath, words, { env })
  const said = { stdout: '', stderr: '' }
  let wake = () => {}
  for (const name of ['stdout', 'stderr'])
    child[name].setEncoding('utf8').on('data', (text) => {
      said[name] += text
      wake()
    })
  const ended = new Promise((resolve) => child.on('close', (code) => resolve({ code, ...said })))
  ended.then(() => wake())
  let read = 0
  return {
    child,
    ended,
    /** Waits until standard error says something that was not waited for before. */
    async until(sight) {
      for (;;) {
        const match = sight.exec(said.stderr.slice(read))
        if (match) {
          read += match.index + match[0].length
          return match[0]
        }
        if (child.exitCode !== null) throw new Error(`boardwright ended before ${sight}: ${said.stderr}${said.stdout}`)
        await new Promise((resolve) => {
          wake = resolve
        })
      }
    },
    answer: (line = '') => child.stdin.write(`${line}\n`),
  }
}

/** Runs it to its end; at each prompt to set the board, the board is put in that stands for the setting. */
export async function runBoardwright(args, options) {
  const running = startBoardwright(args, options)
  const { board, ...how } = { board: undefined, ...options }
  if (board)
    (async () => {
      for (;;) {
        const [, setting] = /\("([a-z-]+)"\)/.exec(await running.until(/Set the board: .*? \("[a-z-]+"\)/)) ?? []
        board.put((how.gains ?? boards)[setting] ?? boards.wire)
        running.answer()
      }
    })().catch(() => {}) // it has ended
  else running.child.stdin.end()
  return running.ended
}
