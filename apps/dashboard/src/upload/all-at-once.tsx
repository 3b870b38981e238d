import { settingPartPrefix } from '@boardwright/core/contract'
import { type ChangeEvent, useState } from 'react'
import { matchRecordings } from './match-recordings.ts'
import styles from './upload-page.module.css'

/** Takes all recordings in one go and puts each into the field of its setting, by its name. */
export function AllAtOnce({ settings }: { settings: readonly string[] }) {
  const [told, setTold] = useState('')

  const spread = ({ target }: ChangeEvent<HTMLInputElement>) => {
    const files = [...(target.files ?? [])]
    const { bySetting, unmatched, serial } = matchRecordings(
      files.map(({ name }) => name),
      settings,
    )
    for (const [setting, name] of bySetting) {
      const field = target.form?.elements.namedItem(`${settingPartPrefix}${setting}`)
      const file = files.find((candidate) => candidate.name === name)
      if (!(field instanceof HTMLInputElement) || !file) continue
      const carrier = new DataTransfer()
      carrier.items.add(file)
      field.files = carrier.files
    }
    const serialField = target.form?.elements.namedItem('serial')
    if (serial && serialField instanceof HTMLInputElement && serialField.value === '') serialField.value = serial
    const placed = [...bySetting].map(([setting, name]) => `${setting}: ${name}`).join(', ')
    const left = unmatched.length > 0 ? `No setting fits ${unmatched.join(', ')}; give it below by hand.` : ''
    setTold([placed, left].filter(Boolean).join('. '))
    target.value = ''
  }

  return (
    <div className={styles.allAtOnce}>
      <label className={styles.recording}>
        <span>
          <strong>All at once</strong>: files named like PLV-0042-{settings[0]}.wav
        </span>
        <input type="file" multiple accept=".wav,audio/wav,audio/x-wav" onChange={spread} />
      </label>
      <p role="status">{told}</p>
    </div>
  )
}
