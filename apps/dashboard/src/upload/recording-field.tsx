import styles from './upload-page.module.css'

interface RecordingProps {
  name: string
  title: string
  label: string | undefined
  required: boolean
}

/** One WAV file; a file can also be dropped on the field. */
export const RecordingField = ({ name, title, label, required }: RecordingProps) => (
  <label className={styles.recording}>
    <span>
      <strong>{title}</strong>
      {label && label !== title && <span>: {label}</span>}
    </span>
    <input type="file" name={name} required={required} accept=".wav,audio/wav,audio/x-wav" />
  </label>
)
