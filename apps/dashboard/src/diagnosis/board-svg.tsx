import { type BoardLayout, isSamePart, meantPads, type Placement, type SuspectMarks } from '@boardwright/core'
import { useId } from 'react'
import styles from './board-svg.module.css'
import { nameRiseMm } from './name-place.ts'
import { PadMark } from './pad-mark.tsx'
import { PartBody } from './part-body.tsx'

export type BoardSide = 'top' | 'bottom'

const names = (list: readonly string[], { designator }: Placement): boolean =>
  list.some((one) => isSamePart(one, designator))

/** Room around the board for what stands at its edge, mm. */
const marginMm = 1

/** One side of the board in pencil, with the suspect hatched, outlined and named in ink. */
export function BoardSvg({ board, side, marks }: { board: BoardLayout; side: BoardSide; marks: SuspectMarks }) {
  const hatch = useId()
  const { widthMm, heightMm, placements } = board
  const mirrored = side === 'bottom'
  const place = ({ xMm, yMm }: { xMm: number; yMm: number }) => ({
    x: mirrored ? widthMm - xMm : xMm,
    y: heightMm - yMm,
  })
  const role = (one: Placement) => (names(marks.lit, one) ? 'lit' : names(marks.also, one) ? 'also' : 'plain')
  const meant = new Set(meantPads(board, marks.nodes).map(({ pad }) => pad))
  // What is meant is drawn on both sides, as if the board were glass; the rest only on its own.
  const seen = placements.filter((one) => one.side === side || role(one) !== 'plain')
  const throughHole = placements.filter((one) => one.body !== 'chip' || one.side === side)
  // What is lit is drawn last, over its neighbours.
  const order = (list: Placement[]) => [...list].sort((a, b) => ranks[role(a)] - ranks[role(b)])
  return (
    <figure className={styles.figure}>
      <svg
        role="img"
        aria-label={describe(board, side, marks)}
        viewBox={`${-marginMm} ${-marginMm} ${widthMm + 2 * marginMm} ${heightMm + 2 * marginMm}`}
        className={styles.board}
      >
        <pattern id={hatch} width="1.1" height="1.1" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
          <path d="M0 0V1.1" className={styles.hatch} />
        </pattern>
        <rect width={widthMm} height={heightMm} rx="1" className={styles.edge} />
        {order(seen).map((one) => (
          <PartBody
            key={one.designator}
            placement={one}
            {...{ place, mirrored, hatch }}
            role={role(one)}
            isHidden={one.side !== side}
          />
        ))}
        {throughHole.flatMap((one) =>
          one.pads.map((pad) => (
            <PadMark
              key={`${one.designator} ${pad.pin}`}
              {...place(pad)}
              isFirst={pad.pin === '1' && one.body === 'dual-in-line'}
              isPlus={pad.pin === '1' && one.body === 'radial'}
              isMeant={meant.has(pad)}
            />
          )),
        )}
        {order(placements.filter((one) => throughHole.includes(one) || seen.includes(one))).map((one) => {
          const { x, y } = place(one)
          return (
            <text
              key={one.designator}
              x={x}
              y={y - nameRiseMm(one, { isLit: role(one) === 'lit', board })}
              dy="0.36em"
              className={styles.name}
              data-role={role(one)}
            >
              {one.designator}
            </text>
          )
        })}
      </svg>
      <figcaption>{mirrored ? 'Solder side, the board turned over' : 'From above'}</figcaption>
    </figure>
  )
}

const ranks = { plain: 0, also: 1, lit: 2 } as const

/** The drawing in words: which part is marked, and where it is found. */
function describe({ placements }: BoardLayout, side: BoardSide, { lit, also, nodes }: SuspectMarks): string {
  const where = placements
    .filter((one) => names(lit, one))
    .map(
      ({ designator, xMm, yMm, side: own }) =>
        `${designator} is marked, ${Math.round(xMm)} mm from the left edge and ${Math.round(yMm)} mm from the lower edge of the ${own} side`,
    )
  const pads = nodes.length > 0 ? [`pads at ${nodes.join(' and ')} marked`] : []
  const rest = also.length > 0 ? [`${also.join(', ')} outlined`] : []
  return [`The board, ${side === 'top' ? 'from above' : 'solder side'}`, ...where, ...pads, ...rest].join('; ')
}
