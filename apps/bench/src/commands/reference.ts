import { Option } from 'commander'
import { collectSettingFile, parseWhole } from '../parse-option.ts'
import type { Declare } from './declare.ts'

export const declareReference: Declare = (program, attach) => {
  const reference = program.command('reference').summary('measure the reference board, look at its versions')

  const add = reference
    .command('add')
    .summary('make the next version of the reference from recordings of the reference board')
    .option(
      '--setting <name=file>',
      'recording at a setting; several of one setting are several runs',
      collectSettingFile,
    )
    .addOption(new Option('--rig <rig>', 'have your rig play and record instead of giving files').choices(['sound']))
    .option('--rig-name <name>', 'which rig, where there is more than one')
    .option('--runs <n>', 'how often the rig goes through all settings', parseWhole({ least: 1, most: 50 }), 3)
    .option('--yes', 'headphones are off and loudspeakers down: do not wait for a key before the first sound')
    .option('--despite-contact', 'measure also when the contact check is against it; the journal keeps that')
    .option('--sweep <file>', 'WAV file that was played; without it, the stimulus of the test plan')
    .option('--note <text>', 'what to remember about it', '')
    .option('--product <id>', 'product, where there is more than one')
    .addOption(new Option('--loop-back <side>', 'channel with the stimulus looped back').choices(['left', 'right']))
    .addHelpText(
      'after',
      `
Examples:
  boardwright reference add --setting max=max1.wav --setting min=min1.wav
  boardwright reference add --setting max=max1.wav --setting max=max2.wav \\
    --setting min=min1.wav --setting min=min2.wav --note "after new pogo pins"
  boardwright reference add --rig sound --runs 4`,
    )
  attach(add, async () => (await import('../actions/reference-add.ts')).referenceAdd)

  const list = reference
    .command('list')
    .summary('all versions, newest first')
    .option('--product <id>', 'product, where there is more than one')
  attach(list, async () => (await import('../actions/reference-show.ts')).referenceList)

  const show = reference
    .command('show [version]')
    .summary('one version with its curves; the newest unless told')
    .option('--product <id>', 'product, where there is more than one')
  attach(show, async () => {
    const { referenceShow } = await import('../actions/reference-show.ts')
    return (context, options: { product?: string; operand?: string }) => {
      const version = options.operand === undefined ? undefined : parseWhole({ least: 1, most: 1e9 })(options.operand)
      return referenceShow(context, { product: options.product, version })
    }
  })
}
