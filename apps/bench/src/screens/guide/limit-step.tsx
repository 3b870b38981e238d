import { BoardwrightError, SettingChange } from '@boardwright/core'
import { playbackCaution } from '@boardwright/core/audio'
import { type FormField, useFormFields } from '../../hooks/use-form-fields.ts'
import { FormLines } from '../form-lines.tsx'
import type { GuideStepProps } from './guide-step-props.ts'
import { Paragraph } from './paragraph.tsx'

const fields: readonly FormField[] = [
  { name: 'limit', label: 'Level limit, dBFS', most: 8 },
  { name: 'change', label: 'Settings are changed', choices: SettingChange.options },
]

/** How loud the rig may ever play. */
export function LimitStep({ guide, bench, settings, columns, keys }: GuideStepProps) {
  const form = useFormFields({
    fields,
    initial: {
      limit: String(settings?.maxLevelDbfs ?? -12),
      change: settings?.settingChange ?? 'by-hand',
    },
    onDone: ({ limit = '', change }) =>
      guide.work(
        () => {
          const maxLevelDbfs = Number(limit.trim().replace(',', '.').replace('\u2212', '-'))
          if (limit.trim() === '' || !Number.isFinite(maxLevelDbfs))
            throw new BoardwrightError('bad-argument', `"${limit}" is no level.`, {
              remedy: 'Type a number from -80 to 0, such as -12.',
            })
          const settingChange = SettingChange.parse(change)
          bench.workshop.rig.save({ name: settings?.name, changes: { maxLevelDbfs, settingChange } })
        },
        { goesOn: true },
      ),
  })
  keys.current = form.onKey
  return (
    <>
      <Paragraph text={`Caution: ${playbackCaution}`} columns={columns} bold />
      <Paragraph
        text="Nothing is ever played above the limit; 0 dBFS is the loudest that the interface can do. Say also whether you turn the knobs from setting to setting, or the rig does."
        columns={columns}
      />
      <FormLines fields={fields} values={form.values} line={form.line} send="store and go on" />
    </>
  )
}
