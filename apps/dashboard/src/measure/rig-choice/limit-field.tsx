import styles from './rig-fields.module.css'

interface LimitFieldProps {
  maxLevelDbfs: number
  onChange: (maxLevelDbfs: number) => void
}

/** The level that nothing is ever played above. What is no level changes nothing: an empty field must not mean full scale. */
export const LimitField = ({ maxLevelDbfs, onChange }: LimitFieldProps) => (
  <label className={styles.field}>
    Never louder than (dBFS)
    <input
      type="number"
      min={-80}
      max={0}
      step={1}
      required
      defaultValue={maxLevelDbfs}
      onChange={({ target }) => {
        if (target.validity.valid) onChange(target.valueAsNumber)
      }}
    />
  </label>
)
