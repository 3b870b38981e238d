import { type Evidence, formatCurrent, formatVoltage } from '@boardwright/core'
import styles from './diagnosis.module.css'

/** What was told so far, one a line. */
function told({ supplyCurrentA, nodeVoltagesV, sweeps, soundParts, faultyParts }: Evidence): string[] {
  return [
    ...(supplyCurrentA === null ? [] : [`Supply current ${formatCurrent(supplyCurrentA)}`]),
    ...Object.entries(nodeVoltagesV).map(([node, volts]) => `${formatVoltage(volts)} at ${node}`),
    ...sweeps.map(
      ({ node, measurement }) => `A further sweep at ${measurement.setting}${node === null ? '' : `, read at ${node}`}`,
    ),
    ...soundParts.map((part) => `${part} by itself is as drawn`),
    ...faultyParts.map((part) => `${part} by itself is wrong`),
  ]
}

/** Counts together with the curves of the run; it can be taken back. */
export function EvidenceList({
  evidence,
  busy,
  onAfresh,
}: {
  evidence: Evidence
  busy: boolean
  onAfresh: () => void
}) {
  const lines = told(evidence)
  if (lines.length === 0) return null
  return (
    <div className={styles.told}>
      <ul aria-label="Told so far">
        {lines.map((line) => (
          <li key={line}>{line}</li>
        ))}
      </ul>
      <button type="button" disabled={busy} onClick={onAfresh}>
        Leave all this out again
      </button>
    </div>
  )
}
