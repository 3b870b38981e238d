import type { UnitQuery } from '../api/queries.ts'
import { useUnits } from '../api/queries.ts'
import styles from './next-strip.module.css'

type State = NonNullable<UnitQuery['state']>

const heaps: { state: State; title: string; advice: string }[] = [
  { state: 'untested', title: 'to test', advice: 'Put one on the rig.' },
  { state: 'failed', title: 'failed', advice: 'Look at the reasons, then mend.' },
  { state: 'ready', title: 'ready', advice: 'On the shelf, not promised.' },
]

interface Choice {
  chosen: State | undefined
  onChoose: (state: State | undefined) => void
}

/** What to do next: how many units wait where; pressing a heap shows only its units. */
export const NextStrip = ({ chosen, onChoose }: Choice) => (
  <section aria-label="What to do next" className={styles.strip}>
    {heaps.map((heap) => (
      <Heap key={heap.state} {...heap} chosen={chosen} onChoose={onChoose} />
    ))}
  </section>
)

function Heap({ state, title, advice, chosen, onChoose }: (typeof heaps)[number] & Choice) {
  // `total` counts them all; the one unit that comes with it is not looked at.
  const { data } = useUnits({ state, limit: 1 })
  const pressed = chosen === state
  return (
    <button
      type="button"
      className={styles.heap}
      data-heap={state}
      aria-pressed={pressed}
      onClick={() => onChoose(pressed ? undefined : state)}
    >
      <span className={styles.count}>{data?.total ?? '–'}</span>
      <span className={styles.title}>{title}</span>
      <span className={styles.advice}>{pressed ? 'Press again to see all units.' : advice}</span>
    </button>
  )
}
