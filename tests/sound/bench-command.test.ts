import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { setTimeout as delay } from 'node:timers/promises'
import { openStore } from '@boardwright/core/store'
import { makeWorkshop, type Workshop } from '@boardwright/core/workshop'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import {
  type Board,
  boards,
  equaliserProduct,
  makeBoard,
  makeWorkshopFile,
  type RunOptions,
  runBoardwright,
  startBoardwright,
} from './bench-on-server.mjs'
import { equaliserOffLine } from './equaliser-off-line.ts'
import { children } from './rig-on-server.ts'
import { type SoundServer, startSoundServer } from './sound-server.mjs'

// The command itself, built, as a maker runs it: on a real sound server, with an independent equaliser as the board.

const folder = mkdtempSync(join(tmpdir(), 'boardwright-bench-sound-'))
const file = join(folder, 'workshop.boardwright')
let server: SoundServer
let board: Board

beforeAll(async () => {
  server = await startSoundServer()
  server.load(server.nullSink('nowhere', 48_000))
  board = makeBoard(server)
  makeWorkshopFile(file, equaliserProduct())
})
afterAll(async () => {
  await server?.stop()
  rmSync(folder, { recursive: true, force: true })
})

const run = (args: readonly string[], options: Partial<RunOptions> = {}) =>
  runBoardwright(args, { environment: server.environment, file, ...options })

/** A test of a unit, the board moved from setting to setting as it is asked for. */
const testUnit = (serial: string, options: Partial<RunOptions> = {}, ...more: string[]) =>
  run(['test', '--rig', 'sound', '--unit', serial, '--yes', ...more], { board, ...options })

function inWorkshop<T>(look: (workshop: Workshop) => T): T {
  const workshop = makeWorkshop({ store: openStore(file), station: 'test' })
  try {
    return look(workshop)
  } finally {
    workshop.close()
  }
}
const runsOf = (serial: string) =>
  inWorkshop((workshop) => (workshop.units({ search: serial }).length > 0 ? workshop.unit(serial).runs : []))

describe('setting up', () => {
  test('the devices are listed for a person and for a program', async () => {
    const words = await run(['rig', 'devices'])
    expect(words.code).toBe(0)
    expect(words.stdout).toMatch(/output +rig96 +2 channels +96 kHz +float32le/)
    const { outputs, inputs } = JSON.parse((await run(['rig', 'devices', '--json'])).stdout)
    expect(outputs.map(({ name }: { name: string }) => name)).toContain('rig')
    expect(inputs.find(({ name }: { name: string }) => name === 'rig44_in')).toMatchObject({ rateHz: 44_100, bits: 16 })
  })

  test('without a sound system one sentence says so', async () => {
    const environment = { ...server.environment, PATH: folder }
    const { code, stderr } = await run(['rig', 'devices'], { environment })
    expect(code).toBe(2)
    expect(stderr).toMatch(/No sound system was found: .* do not answer\. \[no-sound-system\]/)
  })

  test('a test before it is set up says what to do', async () => {
    const { code, stderr } = await testUnit('PLV-0001')
    expect(code).toBe(2)
    expect(stderr).toContain('The rig "rig" is not set up yet. [no-rig]')
    expect(stderr).toContain('boardwright rig devices lists them')
  })

  test('settings that the device cannot keep are refused, and no version is made', async () => {
    board.put(boards.wire)
    for (const [words, code] of [
      [['--output', 'board', '--input', 'nothing_of_the_kind'], 'device-missing'],
      [['--output', 'board', '--input', 'rig_in', '--input-channel', '3'], 'device-missing'],
      [['--output', 'board', '--input', 'rig96_in'], 'device-rate'],
      [['--output', 'rig44', '--input', 'rig44_in', '--rate', '44100'], 'device-format'],
      [['--limit', '-18'], 'no-rig'],
    ] as const) {
      const refused = await run(['rig', 'set', ...words])
      expect(refused.stderr).toContain(`[${code}]`)
      expect(refused.code).toBe(2)
    }
    expect(inWorkshop((workshop) => workshop.rig.history())).toEqual([])
    expect((await run(['rig', 'set', '--output', 'board', '--input', 'rig_in'])).code).toBe(0)
    expect(inWorkshop((workshop) => workshop.rig.current())).toMatchObject({ version: 1, rateHz: 48_000 })
  })

  test('levels by a voltmeter: the tone is heard back, and the reading stands for it', async () => {
    board.put(boards.wire)
    // 0.2512 V r.m.s. at -12 dBFS: full scale is 1 V r.m.s., 1.4142 V peak.
    const { code } = await run(['rig', 'calibrate', '--reading', '0.251189', '--yes'])
    expect(code).toBe(0)
    const calibration = inWorkshop((workshop) => workshop.rig.current()?.calibration)
    expect(calibration?.fullScaleOutV).toBeCloseTo(Math.SQRT2, 4)
    // A wire: what comes back has the level that was played.
    expect(calibration?.fullScaleInV).toBeCloseTo(Math.SQRT2, 3)
  })

  test('the correction of a wire is flat; noise and hum are those of digital silence', async () => {
    board.put(boards.wire)
    expect((await run(['rig', 'loop-back', '--yes'])).code).toBe(0)
    const noise = await run(['rig', 'noise', '--yes'])
    // The Plover gives 21.6 dB at most (bass and treble full up, by its circuit): 0.2 V becomes 2.4 V, 4.6 dB above 1.41 V.
    expect(noise.stderr).toContain(
      'A board amplifies by up to 21.6 dB, so the sweep comes back at 4.6 dBFS at most: too loud.',
    )
    expect(noise.stderr).toContain('Turn the input down by 8 dB')
    const settings = inWorkshop((workshop) => workshop.rig.current())
    expect(Math.max(...settings!.correction!.gainDb.map(Math.abs))).toBeLessThan(0.01)
    expect(settings?.noise?.unweightedDbfs).toBeLessThan(-150)
    expect(settings?.hum).toMatchObject({ mainsHz: null, levelDbfs: null })
  })

  test('with a board in place of the wire there is no correction', async () => {
    board.put([-12, 0, 0])
    const { code, stderr } = await run(['rig', 'loop-back', '--yes'])
    board.put(boards.wire)
    expect(code).toBe(2)
    expect(stderr).toMatch(/The correction was not stored: its gain varies by .* \[recording-refused\]/)
  })
})

describe('measuring', () => {
  test('the reference and a unit: the filter is recovered to 0.05 dB and the verdict is a pass', async () => {
    // The equaliser answers like no Plover, so the contact check by the circuit is against it until there is a reference.
    const words = ['reference', 'add', '--rig', 'sound', '--runs', '1', '--yes']
    board.put(boards.max)
    expect(await run(words, { board })).toMatchObject({ code: 3 })
    const reference = await run([...words, '--despite-contact'], { board })
    expect(reference.stderr).toContain('Set the board: Bass and treble at minimum ("min")')
    expect(reference).toMatchObject({ code: 0 })
    board.put(boards.max)
    const { code, stdout, stderr } = await testUnit('PLV-0001', {}, '--json')
    expect(stderr).toContain('Take headphones off')
    expect({ code, verdict: JSON.parse(stdout).verdict }).toEqual({ code: 0, verdict: 'pass' })
    const { run: stored } = inWorkshop((workshop) => workshop.testRun(JSON.parse(stdout).runId))
    expect(stored).toMatchObject({ rig: 'sound-interface', rigSettings: { name: 'rig' } })
    for (const { setting, curve, findings } of stored.measurements) {
      expect(findings).toEqual([])
      const gainDbAt = equaliserOffLine(boards[setting as 'max' | 'min'])
      const errors = curve!.frequencyHz.map((f, i) => Math.abs(curve!.gainDb[i] - gainDbAt(f)))
      // The issue asks for 0.05 dB.
      expect(Math.max(...errors), setting).toBeLessThan(0.05)
    }
    // The level gives the board the voltage of the test plan: 0.2 V peak of a full scale of 1.4142 V is -16.99 dBFS.
    expect(stored.sweep.levelDbfs).toBeCloseTo(-16.99, 1)
  }, 180_000)

  test('a board with too little treble fails', async () => {
    board.put(boards.dull)
    const gains = { min: boards.min }
    const { code, stdout } = await testUnit('PLV-0002', { gains })
    expect(stdout).toContain('✗ FAIL')
    expect(code).toBe(1)
  })

  test('a board without contact is not swept; measured all the same, the journal says so', async () => {
    board.put(boards.max, 'nowhere')
    const refused = await testUnit('PLV-0003')
    expect(refused.code).toBe(3)
    expect(refused.stderr).toMatch(/Contact check at "max": .*(does not touch|no power|is out).* \[contact-problem\]/)
    expect(refused.stderr).not.toContain('playing the sweep')
    expect(runsOf('PLV-0003')).toEqual([])

    const alone = await testUnit('PLV-0003', { board: undefined }, '--despite-contact')
    expect(alone.stderr).toContain('No answer came on standard input.')
    expect(alone.code).toBe(2)
    expect(runsOf('PLV-0003')).toEqual([])
    board.put(boards.max, 'nowhere')
    const silent = { put: () => board.put(boards.min, 'nowhere'), takeOut: () => {} }
    const measured = await testUnit('PLV-0003', { board: silent }, '--despite-contact')
    expect(measured.stdout).toContain('REPEAT')
    expect(measured.code).toBe(3)
    const history = inWorkshop((workshop) => workshop.unit('PLV-0003').history)
    expect(history.map(({ verb }) => verb)).toContain('overrule-contact')
  }, 180_000)

  test('rig contact tells the same without a unit', async () => {
    board.put(boards.max)
    expect(await run(['rig', 'contact', '--setting', 'max', '--yes'])).toMatchObject({
      code: 0,
      stdout: 'The board answers as it should.\n',
    })
    board.put(boards.max, 'nowhere')
    expect(await run(['rig', 'contact', '--setting', 'max', '--yes'])).toMatchObject({ code: 3 })
    board.put(boards.max)
  })
})

describe('trouble in the middle', () => {
  /** Starts a test, does something while the sweep plays, and gives how the command ended. */
  async function breakIn(serial: string, doing: (child: { kill(signal: NodeJS.Signals): void }) => void, on = server) {
    board.put(boards.max)
    const environment = on.environment
    const running = startBoardwright(['test', '--rig', 'sound', '--unit', serial, '--yes'], { environment, file })
    await running.until(/max: playing the sweep/)
    await delay(600)
    doing(running.child)
    const ended = await running.ended
    expect(runsOf(serial), 'something was stored').toEqual([])
    return ended
  }
  const expectUnharmed = async () => {
    const check = await run(['check'])
    expect(check.stdout).toMatch(/: sound \(/)
    expect(check.code).toBe(0)
  }

  test('Ctrl-C: silence, nothing is stored', async () => {
    const { code, stderr } = await breakIn('PLV-0010', (child) => child.kill('SIGINT'))
    expect(stderr).toContain('It was stopped; nothing is stored. [stopped]')
    expect(code).toBe(2)
    expect(server.control('list', 'short', 'sink-inputs')).not.toMatch(/protocol-native/)
    await expectUnharmed()
  })

  test('the device is unplugged', async () => {
    const { code, stderr } = await breakIn('PLV-0011', () => board.takeOut())
    expect(stderr).toMatch(/The sound stopped: .* \[rig-failed\]\n {2}Plug the sound interface in again/)
    expect(code).toBe(2)
    const gone = await testUnit('PLV-0011', { board: undefined })
    expect(gone.stderr).toMatch(/The output "board" of the rig is not there; there are: .* \[device-missing\]/)
    board.put(boards.max)
    await expectUnharmed()
  })

  test('a block that was lost is told, and the sweep is played again by itself', async () => {
    board.put(boards.max)
    const words = ['test', '--rig', 'sound', '--unit', 'PLV-0014', '--yes']
    const running = startBoardwright(words, { environment: server.environment, file })
    await running.until(/max: playing the sweep/)
    await delay(1000)
    const player = children(running.child.pid).find(({ words }) => words.includes('--playback'))
    process.kill(player!.pid, 'SIGSTOP')
    await delay(900)
    process.kill(player!.pid, 'SIGCONT')
    await running.until(/max: a block was lost, playing the sweep again \(1 of 2\)/)
    await running.until(/Set the board/)
    board.put(boards.min)
    running.answer()
    const { code, stdout } = await running.ended
    expect(stdout).toContain('✓ PASS')
    expect(code).toBe(0)
    const [stored] = runsOf('PLV-0014')
    const { run: again } = inWorkshop((workshop) => workshop.testRun(stored.id))
    expect(again.measurements[0].origin).toMatch(/played [23] times/)
  }, 120_000)

  test('the disk is full', async () => {
    board.put(boards.max)
    // Less than a run takes. The sound programs must not want shared memory, for which the limit counts too.
    const limitKilobytes = 300
    const client = join(folder, 'client.conf')
    writeFileSync(client, 'enable-shm = no\n')
    const environment = { ...server.environment, PULSE_CLIENTCONFIG: client }
    const { code, stderr } = await testUnit('PLV-0012', { limitKilobytes, environment })
    expect(stderr).toContain('[disk-full]')
    expect(code).toBe(2)
    expect(runsOf('PLV-0012')).toEqual([])
    await expectUnharmed()
  })

  test('the sound server is killed', async () => {
    const { code, stderr } = await breakIn('PLV-0013', () => server.kill())
    expect(stderr).toMatch(/The sound stopped: the sound server stopped\. \[rig-failed\]/)
    expect(code).toBe(2)
    await expectUnharmed()
  })
})
