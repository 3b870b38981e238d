import { formatAgo, formatWhen } from '@boardwright/core'
import type { UnitRow } from '@boardwright/core/contract'
import { memo } from 'react'
import { Link } from 'wouter'
import { VerdictMark } from '../verdict/verdict-mark.tsx'
import styles from './units-table.module.css'

export const UnitsTableRow = memo(function UnitsTableRow({ unit, now }: { unit: UnitRow; now: Date }) {
  const { serial, state, lastRun } = unit
  const at = lastRun?.startedAt ?? unit.updatedAt
  return (
    <tr data-serial={serial}>
      <th scope="row">
        <Link href={`/units/${encodeURIComponent(serial)}`}>{serial}</Link>
        <span className={styles.state}>{state}</span>
      </th>
      <td>
        {lastRun ? (
          <div className={styles.result}>
            <VerdictMark verdict={lastRun.verdict} />
            {/* On a phone there is no room for a column of its own. */}
            <time className={styles.nearby} dateTime={at}>
              {formatAgo(at, { now })}
            </time>
            <p className={styles.reason}>{lastRun.reason}</p>
          </div>
        ) : (
          <span className={styles.untested}>not tested yet</span>
        )}
      </td>
      <td>
        <time dateTime={at} title={formatWhen(at)}>
          {formatAgo(at, { now })}
        </time>
      </td>
    </tr>
  )
})
