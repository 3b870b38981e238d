import { type DriftChart, type DriftSeries, formatDb, formatWhen } from '@boardwright/core'
import { useId } from 'react'
import styles from './rig.module.css'

/** The drawing's own units; the page scales it. */
const size = { width: 420, height: 200, left: 52, right: 8, top: 12, bottom: 26 }
/** More checks than this stand too close to be told apart: the newest are drawn. */
const mostDrawn = 60

interface Frame {
  x: (index: number) => number
  y: (db: number) => number
  ticksDb: number[]
}

function frameOf(series: DriftSeries, count: number): Frame {
  const shown = series.valuesDb.slice(-count)
  const limit = series.rigLimitDb
  const high = Math.max(limit * 1.25, ...shown)
  const low = series.quantity === 'level' ? Math.min(-limit * 1.25, ...shown) : 0
  const inner = { width: size.width - size.left - size.right, height: size.height - size.top - size.bottom }
  return {
    x: (index) => size.left + (inner.width * (index + 0.5)) / Math.max(1, count),
    y: (db) => size.top + (inner.height * (high - db)) / (high - low),
    ticksDb: series.quantity === 'level' ? [-limit, 0, limit] : [0, limit],
  }
}

const titles = {
  level: 'Level at 1 kHz against the reference (dB)',
  shape: 'Largest deviation of the curves (dB)',
} as const

const twoDigits = (db: number): string => formatDb(db, { digits: 2, signed: true })

function summaryOf(series: DriftSeries, checks: DriftChart['checks']): string {
  const last = series.valuesDb.at(-1)
  const newest = checks.at(-1)
  if (last === undefined || !newest) return 'No checks yet.'
  const beyond = series.beyond.length
  const told = beyond === 0 ? '' : ` ${beyond} ${beyond === 1 ? 'lies' : 'lie'} beyond what is usual for this rig.`
  return `${titles[series.quantity]} of ${series.valuesDb.length} checks; the last, ${formatWhen(newest.at)}, at ${twoDigits(last)}, limit ${formatDb(series.rigLimitDb, { digits: 2 })}.${told} The table of checks below has the values.`
}

/** Control chart of one quantity: single checks, their weighted average, the rig's own limits and the limit of the test plan. */
export function DriftFigure({ series, checks }: { series: DriftSeries; checks: DriftChart['checks'] }) {
  const id = useId()
  const count = Math.min(mostDrawn, series.valuesDb.length)
  const first = series.valuesDb.length - count
  const frame = frameOf(series, count)
  return (
    <figure className={styles.drift} aria-labelledby={id}>
      <figcaption id={id}>{titles[series.quantity]}</figcaption>
      <svg viewBox={`0 0 ${size.width} ${size.height}`} role="img" aria-label={summaryOf(series, checks)}>
        {frame.ticksDb.map((db) => (
          <g key={db}>
            <line
              className={db === 0 ? styles.zero : styles.rigLimit}
              x1={size.left}
              x2={size.width - size.right}
              y1={frame.y(db)}
              y2={frame.y(db)}
            />
            <text x={size.left - 6} y={frame.y(db) + 4} textAnchor="end">
              {twoDigits(db).replace(' dB', '')}
            </text>
          </g>
        ))}
        {series.control && <ControlBand control={series.control} quantity={series.quantity} frame={frame} />}
        <path className={styles.average} d={pathOf(series.averageDb.slice(first), frame)} />
        {series.valuesDb.slice(first).map((value, i) => (
          <Point
            key={checks[first + i]?.id}
            x={frame.x(i)}
            y={frame.y(value)}
            isOut={series.beyond.includes(first + i) || Math.abs(value) > series.rigLimitDb}
          />
        ))}
        {[0, count - 1].map((i) => (
          <text key={i} x={frame.x(i)} y={size.height - 8} textAnchor={i === 0 ? 'start' : 'end'}>
            {i === 0 || count > 1 ? dayOf(checks[first + i]?.at) : ''}
          </text>
        ))}
      </svg>
    </figure>
  )
}

const dayOf = (at: string | undefined): string => (at === undefined ? '' : formatWhen(at).split(',')[0])

const pathOf = (values: readonly number[], { x, y }: Frame): string =>
  values.map((value, i) => `${i === 0 ? 'M' : 'L'}${x(i).toFixed(1)} ${y(value).toFixed(1)}`).join('')

function ControlBand(props: {
  control: NonNullable<DriftSeries['control']>
  quantity: DriftSeries['quantity']
  frame: Frame
}) {
  const { control, quantity, frame } = props
  const low = quantity === 'shape' ? Math.max(0, control.lowerDb) : control.lowerDb
  const top = frame.y(control.upperDb)
  return (
    <rect
      className={styles.usual}
      x={size.left}
      width={size.width - size.left - size.right}
      y={top}
      height={Math.max(1, frame.y(low) - top)}
    />
  )
}

/** A check within its limits is a dot, one beyond a cross. */
const Point = ({ x, y, isOut }: { x: number; y: number; isOut: boolean }) =>
  isOut ? (
    <path className={styles.out} d={`M${x - 5} ${y - 5}L${x + 5} ${y + 5}M${x - 5} ${y + 5}L${x + 5} ${y - 5}`} />
  ) : (
    <circle className={styles.point} cx={x} cy={y} r="3.5" />
  )
