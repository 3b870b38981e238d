import type { SoundDevice } from '../sound/sound-devices.ts'
import { computersChoice } from './rig-choice.ts'
import styles from './rig-fields.module.css'

interface DeviceFieldProps {
  title: string
  devices: readonly SoundDevice[]
  /** False until the browser tells which devices there are. */
  named: boolean
  chosen: SoundDevice
  onChoice: (device: SoundDevice) => void
}

/** One device to choose. A chosen one that is not plugged in stays chosen, and says so. */
export function DeviceField({ title, devices, named, chosen, onChoice }: DeviceFieldProps) {
  const isThere = !named || chosen.id === '' || devices.some(({ id }) => id === chosen.id)
  const choose = (id: string) => onChoice(devices.find((device) => device.id === id) ?? computersChoice)
  return (
    <label className={styles.field}>
      {title}
      <select value={chosen.id} onChange={({ target }) => choose(target.value)}>
        <option value="">{computersChoice.label}</option>
        {devices.map(({ id, label }) => (
          <option key={id} value={id}>
            {label}
          </option>
        ))}
        {!named && chosen.id !== '' && <option value={chosen.id}>{chosen.label}</option>}
        {!isThere && <option value={chosen.id}>{chosen.label} (not plugged in)</option>}
      </select>
    </label>
  )
}
