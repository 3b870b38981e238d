import type { WorkStep } from '../model/procedure.ts'

const step = (
  what: Pick<WorkStep, 'key' | 'kind' | 'title' | 'text'> & Partial<Pick<WorkStep, 'cautions' | 'checklist'>>,
): WorkStep => ({ cautions: [], checklist: [], designators: [], ...what })

/** What is done after the parts are placed, where a product says nothing else. Common practice, no source. */
export const usualSteps: readonly WorkStep[] = [
  step({
    key: 'trim',
    kind: 'trim',
    title: 'Trim the leads',
    text: 'Cut every lead just above its joint; do not cut into the solder.',
    cautions: ['Cut leads fly: wear eye protection, and hold or catch each end.'],
  }),
  step({
    key: 'touch-up',
    kind: 'touch-up',
    title: 'Touch up the cut joints',
    text: 'Heat each cut joint once more until it flows, with a little flux.',
    cautions: ['Hot iron and fumes: use its stand, and work with fume extraction or good air.'],
  }),
  step({
    key: 'first-clean',
    kind: 'clean',
    title: 'First clean',
    text: 'Brush the flux off both sides, away from the controls.',
    cautions: ['Cleaner: follow its safety sheet; keep it from the iron, and let in fresh air.'],
  }),
  step({
    key: 'second-clean',
    kind: 'clean',
    title: 'Second clean',
    text: 'Clean again with fresh cleaner, wipe, and let the board dry.',
    cautions: ['Cleaner: follow its safety sheet; keep it from the iron, and let in fresh air.'],
  }),
  step({
    key: 'look-over',
    kind: 'look-over',
    title: 'Look it over',
    text: 'Under the lamp and the magnifier, both sides.',
    checklist: [
      'Every part of the list is there, with the right marking.',
      'Polarised parts and the amplifier are the right way round.',
      'Every joint is wetted all round pad and lead, and smooth.',
      'No solder between pads, no balls, no splashes.',
      'No lead reaches over a neighbour or is cut into the joint.',
      'No burnt, cracked or lifted part or pad.',
      'No flux left, none under the controls.',
    ],
  }),
  step({ key: 'rig', kind: 'rig', title: 'Rig', text: 'Test the unit on the rig.' }),
  step({ key: 'listen', kind: 'listen', title: 'Listen', text: 'Play through it, both knobs over their whole turn.' }),
  step({ key: 'label', kind: 'label', title: 'Label', text: 'Print the label, put it on, and scan it once.' }),
]
