import { formatDbfs } from '@boardwright/core'
import styles from './level-strip.module.css'

const quietestDbfs = -80
/** Nearer to full scale a louder board would be cut off. */
const loudDbfs = -1

/** How far the sweep is, and how loud the board answers at this moment. */
export function LevelStrip({ fraction, peak }: { fraction: number; peak: number }) {
  const levelDbfs = 20 * Math.log10(Math.max(1e-5, peak))
  return (
    <div className={styles.strip}>
      <label>
        <span>Sweep</span>
        <progress max={1} value={fraction} />
        <span>{Math.round(fraction * 100)} %</span>
      </label>
      <label data-loud={levelDbfs > loudDbfs || undefined}>
        <span>Board answers</span>
        <meter min={quietestDbfs} max={0} high={loudDbfs} value={Math.max(quietestDbfs, levelDbfs)} />
        <span>{levelDbfs <= quietestDbfs ? 'silent' : formatDbfs(levelDbfs)}</span>
      </label>
    </div>
  )
}
