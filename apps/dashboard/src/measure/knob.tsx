import styles from './knob.module.css'

/** A potentiometer turns 270 degrees, common practice (no source); 0 stands at seven o'clock. */
const turnDeg = 270

const positionWords = (position: number): string => {
  if (position <= 0) return 'fully counter-clockwise'
  if (position >= 1) return 'fully clockwise'
  if (position === 0.5) return 'at the centre'
  return `at ${Math.round(position * 100)} % of its turn`
}

/** A knob as it must stand: drawn, and in words. */
export function Knob({ label, position }: { label: string; position: number }) {
  const angle = ((position * turnDeg - turnDeg / 2 - 90) * Math.PI) / 180
  const at = (radius: number) => ({ x: 32 + radius * Math.cos(angle), y: 32 + radius * Math.sin(angle) })
  return (
    <li className={styles.knob}>
      <svg aria-hidden="true" viewBox="0 0 64 64" width="76" height="76">
        <path d="M12.2 51.8A28 28 0 1 1 51.8 51.8" className={styles.turn} />
        <circle cx="32" cy="32" r="20" className={styles.cap} />
        <line x1={at(7).x} y1={at(7).y} x2={at(19).x} y2={at(19).y} className={styles.pointer} />
      </svg>
      <span>
        <strong>{label}</strong> {positionWords(position)}
      </span>
    </li>
  )
}
