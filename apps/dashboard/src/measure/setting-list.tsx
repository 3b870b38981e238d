import type { Product } from '@boardwright/core'
import { formatDb, formatDbfs } from '@boardwright/core'
import { FindingsList } from '../unit/findings-list.tsx'
import type { Measuring } from './measuring-state.ts'
import styles from './setting-list.module.css'
import type { Take } from './take/take.ts'

/** Quieter than any converter: a path without a converter, of which no noise is to be told. */
const noNoiseDbfs = -150

/** What the checks say of a recording, in one line. */
function takeWords({ check, played, bits }: Take): string {
  const words = [`peak ${formatDbfs(check.peakDbfs)}`]
  if (check.gainAt1kHzDb !== null) words.unshift(`gain at 1 kHz ${formatDb(check.gainAt1kHzDb, { signed: true })}`)
  if (check.noiseDbfs !== null && check.noiseDbfs > noNoiseDbfs) words.push(`noise ${formatDbfs(check.noiseDbfs)}`)
  if (bits !== undefined) words.push(`${bits} bits`)
  if (played > 1) words.push(`played ${played} times`)
  return words.join(', ')
}

/** The settings of the test plan in their order: recorded, next, to come. */
export function SettingList({ product, state }: { product: Product; state: Measuring }) {
  const next = state.takes.length
  return (
    <ol className={styles.list} aria-label="Settings of the test plan">
      {state.settings.map((name, i) => {
        const take = state.takes[i]
        const label = product.settings.find((setting) => setting.name === name)?.label
        return (
          <li key={name} data-state={take ? 'recorded' : i === next ? 'next' : 'to-come'}>
            <svg aria-hidden="true" viewBox="0 0 24 24" width="26" height="26">
              <rect x="3" y="3" width="18" height="18" rx="2" />
              {take && <path d="m7 12.5 3.5 3.5L18 6" />}
            </svg>
            <div>
              <p>
                <strong>{name}</strong>
                {label && `: ${label}`}
                <span className="unseen">{take ? ', recorded' : i === next ? ', next' : ', to come'}</span>
              </p>
              {take && <p className={styles.figures}>{takeWords(take)}</p>}
              {take && <FindingsList findings={take.check.findings} />}
            </div>
          </li>
        )
      })}
    </ol>
  )
}
