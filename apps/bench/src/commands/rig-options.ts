import { type Command, Option } from 'commander'
import { collectFault, collectSettingFile, parseNumber, parseWhole } from '../parse-option.ts'

/** Which of the workshop's rigs is meant, where nothing is played. */
export const rigKindOption = (): Option =>
  new Option('--rig <rig>', 'which rig').choices(['sound', 'folder', 'simulated']).default('sound')

/** The options of a command that plays and records through a rig. */
export const withRigOptions = (command: Command): Command =>
  command
    .addOption(new Option('--rig <rig>', 'the rig that plays and records').choices(['sound', 'simulated', 'folder']))
    .option('--rig-name <name>', 'which rig, with --rig sound, where there is more than one')
    .option('--yes', 'headphones are off and loudspeakers down: do not wait for a key before the first sound')
    .option('--despite-contact', 'measure also when the contact check is against it; the journal keeps that')
    .option('--folder <path>', 'the folder that --rig folder watches for SERIAL-SETTING.wav')
    .option('--seed <n>', 'draws other boards on the simulated rig', parseWhole({ least: 0, most: 2 ** 31 }))
    .option('--fault <kind:part>', 'fault of every simulated board, such as open:C8', collectFault)
    .option('--drift <db>', 'how far the level of the simulated rig has gone, such as 0.4', parseNumber)
    .option('--drift-treble <db>', 'how far its treble has gone, such as -0.8', parseNumber)

/** The options of a command that takes recordings from files instead. */
export const withRecordingOptions = (command: Command): Command =>
  command
    .option('--setting <name=file>', 'recording at a setting of the test plan, one each', collectSettingFile)
    .option('--sweep <file>', 'WAV file that was played; without it, the stimulus of the test plan')
    .addOption(new Option('--loop-back <side>', 'channel with the stimulus looped back').choices(['left', 'right']))
    .option('--product <id>', 'product, where there is more than one')
