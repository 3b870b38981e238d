import { type Placement, partOutline } from '@boardwright/core'
import styles from './board-svg.module.css'

interface BodyProps {
  placement: Placement
  role: 'lit' | 'also' | 'plain'
  mirrored: boolean
  /** On the other side of the board: seen as if through glass. */
  isHidden: boolean
  /** Id of the hatching. */
  hatch: string
  place: (at: { xMm: number; yMm: number }) => { x: number; y: number }
}

/** The body of a part with its legs; a diode has the ring of its cathode, a potentiometer its shaft. */
export function PartBody({ placement, role, mirrored, isHidden, hatch, place }: BodyProps) {
  const outline = partOutline(placement)
  const { lengthMm, widthMm, angleDeg, round } = outline
  const { x, y } = place(outline)
  const [from, to] = placement.pads.map(place)
  const fill = role === 'lit' ? `url(#${hatch})` : 'none'
  // The drawing's y points down and the board's up: what turns left there turns right here, and again when mirrored.
  const turn = `rotate(${mirrored ? angleDeg : -angleDeg} ${x} ${y})`
  return (
    <g className={styles.part} data-role={role} data-hidden={isHidden} data-designator={placement.designator}>
      {placement.pads.length === 2 && !round && (
        <line x1={from.x} y1={from.y} x2={to.x} y2={to.y} className={styles.leg} />
      )}
      {round ? (
        <>
          <circle cx={x} cy={y} r={lengthMm / 2} className={styles.paper} />
          <circle cx={x} cy={y} r={lengthMm / 2} fill={fill} className={styles.body} />
        </>
      ) : (
        <g transform={turn}>
          {['paper', 'body'].map((layer) => (
            <rect
              key={layer}
              x={x - lengthMm / 2}
              y={y - widthMm / 2}
              width={lengthMm}
              height={widthMm}
              rx={Math.min(0.5, widthMm / 4)}
              fill={layer === 'body' ? fill : undefined}
              className={styles[layer]}
            />
          ))}
          {placement.body === 'diode' && (
            <path
              d={`M${x + (mirrored ? -0.28 : 0.28) * lengthMm} ${y - widthMm / 2}v${widthMm}`}
              className={styles.ring}
            />
          )}
          {placement.body === 'potentiometer' && <circle cx={x} cy={y} r="3" className={styles.leg} fill="none" />}
        </g>
      )}
    </g>
  )
}
