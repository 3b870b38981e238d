import { useId } from 'react'
import styles from './setting-section.module.css'

interface ChoiceProps {
  setting: string
  aligned: boolean
  onChange: (aligned: boolean) => void
}

/** Whether the level counts in what is shown, or only the shape. */
export function CompareChoice({ setting, aligned, onChange }: ChoiceProps) {
  const name = useId()
  return (
    <fieldset className={styles.choice} aria-label={`Compare with the reference, ${setting}`}>
      <label>
        <input type="radio" name={name} checked={!aligned} onChange={() => onChange(false)} />
        absolute
      </label>
      <label>
        <input type="radio" name={name} checked={aligned} onChange={() => onChange(true)} />
        level-aligned
      </label>
    </fieldset>
  )
}
