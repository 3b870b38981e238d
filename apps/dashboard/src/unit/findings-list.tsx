import type { Finding } from '@boardwright/core'
import { formatDuration } from '@boardwright/core'
import styles from './setting-section.module.css'

/** What is wrong with a recording, or worth knowing about it, and what to do. */
export function FindingsList({ findings }: { findings: readonly Finding[] }) {
  if (findings.length === 0) return null
  return (
    <ul className={styles.findings} aria-label="Findings about the recording">
      {findings.map((finding) => (
        <li key={finding.code + finding.message} data-severity={finding.severity} data-code={finding.code}>
          <p>
            <strong>{finding.severity === 'refuse' ? 'Recording refused: ' : 'Worth knowing: '}</strong>
            {finding.message}
            {finding.atS !== undefined && ` (at ${formatDuration(finding.atS)})`}
          </p>
          <p>{finding.remedy}</p>
        </li>
      ))}
    </ul>
  )
}
