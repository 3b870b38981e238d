import { collectNodeFile, collectNodeValue, collectSettingFile, collectText } from '../parse-option.ts'
import type { Declare } from './declare.ts'

export const declareDiagnose: Declare = (program, attach) => {
  const command = program
    .command('diagnose')
    .summary('name the suspects of a failed unit, and what to check next')
    .description(
      'Works out what is wrong with a tested unit and keeps it with the run. What an earlier diagnosis of the run was told still counts.',
    )
    .option('--unit <serial>', 'serial number; its last test run is meant')
    .option('--run <id>', 'an older test run')
    .option('--supply-current <amps>', 'what the board takes from its supply, such as 1.2mA')
    .option('--volts <node=volts>', 'direct voltage at a node, such as half=4.5V', collectNodeValue)
    .option('--setting <name=file>', 'recording at one more setting', collectSettingFile)
    .option('--probe <node@setting=file>', 'recording with the probe on a node', collectNodeFile)
    .option('--sweep <file>', 'WAV file that was played for these; without it, the stimulus of the test plan')
    .option('--part-ok <part>', 'a part that was measured by itself and is as drawn', collectText)
    .option('--part-bad <part>', 'a part that was measured by itself and is wrong', collectText)
    .option('--afresh', 'leave out what earlier diagnoses of the run were told')
    .option('--figures', 'how often the first suspect was right, over all reworked units')
    .addHelpText(
      'after',
      `
Examples:
  boardwright diagnose --unit PLV-0042
  boardwright diagnose --unit PLV-0042 --supply-current 1.2mA --volts half=4.5V
  boardwright diagnose --unit PLV-0042 --setting bass-only=bass.wav --json
  boardwright unit rework PLV-0042 --part C7 --action replaced --lot "May, 33n"

Caution: measure with the battery's polarity and the meter's range checked; a
probe that slips can short two pads.`,
    )
  attach(command, async () => (await import('../actions/diagnose.ts')).diagnose)
}
