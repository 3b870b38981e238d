import { existsSync } from 'node:fs'
import { BoardwrightError, type Product } from '@boardwright/core'
import { makeSimulatedRig, type RigDriver } from '@boardwright/core/audio'
import type { SettingRecording, Workshop } from '@boardwright/core/workshop'
import { type CommandContext, note, print, printJson } from '../command-context.ts'
import { demoFaults } from '../demo-faults.ts'
import { exitCode } from '../exit-code.ts'
import { withWorkshop } from '../open-workshop.ts'
import { runTest, stimulusOf } from '../session/run-test.ts'
import { workshopPath } from '../workshop-path.ts'

/** Serial numbers of the demo: some are tested already, the rest wait for their first test. */
const tested = ['PLV-0001', 'PLV-0002', 'PLV-0003', 'PLV-0004']
const waiting = ['PLV-0005', 'PLV-0006', 'PLV-0007', 'PLV-0008']
const referenceRuns = 3

/** The reference board: drawn without tolerances, measured several times at every setting the plan needs. */
async function recordReference(product: Product): Promise<SettingRecording[]> {
  const rig = makeSimulatedRig({ product, spread: 'none', speed: Number.POSITIVE_INFINITY })
  const sweep = stimulusOf(product)
  const { settings, mirror } = product.testPlan
  const wanted = new Set(mirror ? [...settings, mirror.max, mirror.min, mirror.centre] : settings)
  const recordings: SettingRecording[] = []
  for (const setting of wanted)
    for (let run = 0; run < referenceRuns; run++)
      recordings.push({ setting, ...(await rig.run({ serial: 'REFERENCE', setting, sweep })) })
  return recordings
}

async function testUnits(workshop: Workshop, product: Product, rig: RigDriver) {
  for (const serial of tested)
    await runTest({ workshop, product, rig, serial, signal: new AbortController().signal, onProgress: () => {} })
}

/** `boardwright demo`: a workshop to look at, made by the same verbs as a real one. */
export function demo(context: CommandContext) {
  const path = workshopPath(context)
  if (existsSync(path))
    throw new BoardwrightError('file-not-writable', `${path} exists already; a demo is never made over a workshop.`, {
      remedy: 'Name a new file with --file.',
    })
  return withWorkshop(context, { create: true }, async (workshop) => {
    const product = workshop.product()
    note(context, 'Measuring the reference board on the simulated rig ...')
    workshop.addReference({ recordings: await recordReference(product), note: 'Demo: simulated reference board' })
    for (const serial of [...tested, ...waiting]) workshop.registerUnit({ serial })
    note(context, `Testing ${tested.length} units on the simulated rig ...`)
    await testUnits(
      workshop,
      product,
      makeSimulatedRig({ product, speed: Number.POSITIVE_INFINITY, faultsOf: (serial) => demoFaults[serial] ?? [] }),
    )
    if (context.json) printJson(context, { workshop: workshop.file, ...workshop.summary() })
    else
      print(
        context,
        `The demo workshop is at ${workshop.file}: ${tested.length} units tested, ${waiting.length} to test.`,
      )
    return exitCode.ok
  })
}
