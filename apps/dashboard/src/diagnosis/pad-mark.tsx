import styles from './board-svg.module.css'

interface PadProps {
  x: number
  y: number
  /** Pin 1 of an op-amp: square, as on a circuit board. */
  isFirst: boolean
  /** The positive pad of an electrolytic capacitor. */
  isPlus: boolean
  /** A pad that the suspicion is about. */
  isMeant: boolean
}

/** A solder pad. */
export function PadMark({ x, y, isFirst, isPlus, isMeant }: PadProps) {
  if (isMeant)
    return <path d={`M${x} ${y - 1.5}l1.5 1.5l-1.5 1.5l-1.5 -1.5z`} className={styles.meantPad} data-meant="true" />
  if (isFirst) return <rect x={x - 0.7} y={y - 0.7} width="1.4" height="1.4" className={styles.pad} />
  return (
    <>
      <circle cx={x} cy={y} r="0.7" className={styles.pad} />
      {isPlus && <path d={`M${x - 0.45} ${y}h0.9M${x} ${y - 0.45}v0.9`} className={styles.plus} />}
    </>
  )
}
