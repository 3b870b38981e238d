import styles from './rig-fields.module.css'

const channelCount = 8
const words = ['1 (left)', '2 (right)']

interface ChannelFieldProps {
  title: string
  /** From 0; null for none. */
  chosen: number | null
  /** What the choice of no channel is called; without it one must be chosen. */
  none?: string
  onChoice: (channel: number | null) => void
}

/** A channel of a device, counted from 1 as the plugs are. */
export const ChannelField = ({ title, chosen, none, onChoice }: ChannelFieldProps) => (
  <label className={styles.field}>
    {title}
    <select value={chosen ?? ''} onChange={({ target }) => onChoice(target.value === '' ? null : Number(target.value))}>
      {none !== undefined && <option value="">{none}</option>}
      {Array.from({ length: channelCount }, (_, channel) => channel).map((channel) => (
        <option key={channel} value={channel}>
          {words[channel] ?? channel + 1}
        </option>
      ))}
    </select>
  </label>
)
