import { BoardwrightError, type ContactCheck } from '@boardwright/core'
import { type CommandContext, print, printJson } from '../command-context.ts'
import { exitCode } from '../exit-code.ts'
import { type RigOptions, withRig } from '../session/setup/on-command-line.ts'
import { checkContactAt } from '../session/steps/contact.ts'

/** `boardwright rig contact`: whether the board in the rig has contact. */
export async function rigContact(context: CommandContext, options: RigOptions & { setting?: string }) {
  const check = await withRig(context, options, async (setUp): Promise<ContactCheck> => {
    const setting = options.setting ?? setUp.product.testPlan.settings[0]
    const heard = await checkContactAt({ ...setUp, serial: 'CONTACT' }, setting)
    if (!heard)
      throw new BoardwrightError(
        'no-rig',
        'The gain of this rig is not known yet, so it cannot tell how a board answers.',
        {
          remedy: 'Calibrate its levels, or measure the reference board with it, then listen again.',
        },
      )
    return heard
  })
  if (context.json) printJson(context, check)
  else {
    print(context, check.message)
    if (check.remedy) print(context, check.remedy)
  }
  return check.kind === 'ok' || check.kind === 'unclear' ? exitCode.ok : exitCode.repeat
}
