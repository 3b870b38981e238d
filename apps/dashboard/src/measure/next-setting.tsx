import { type Product, playbackCaution } from '@boardwright/core'
import { useEffect, useRef } from 'react'
import { Caution } from '../frame/caution.tsx'
import { Knob } from './knob.tsx'
import { LevelStrip } from './level-strip.tsx'
import styles from './measure-page.module.css'
import { isSounding, type Measuring, nextSetting } from './measuring-state.ts'
import { measuringWords } from './measuring-words.ts'

interface NextSettingProps {
  product: Product
  state: Measuring
  /** The maker has said that nobody's ears are in the way. */
  quiet: boolean
  onQuiet: (quiet: boolean) => void
  onStop: () => void
  onAgain: () => void
}

/** How the knobs must stand, and the one button that matters: play, stop, or judge. */
export function NextSetting({ product, state, quiet, onQuiet, onStop, onAgain }: NextSettingProps) {
  const name = nextSetting(state)
  const sounding = isSounding(state)
  const busy = state.doing !== 'waiting'
  const main = useFocusWhenFree(busy)
  return (
    <section aria-label="Next" className={styles.next}>
      {name !== undefined && <Knobs product={product} setting={name} />}
      <Acknowledge {...{ quiet, onQuiet }} />
      {state.progress && <LevelStrip {...state.progress} />}
      <p role="status" className={styles.status}>
        {measuringWords(state)}
      </p>
      {sounding ? (
        <StopButton onStop={onStop} />
      ) : (
        <button ref={main} type="submit" disabled={busy} className={styles.main}>
          {name === undefined ? 'Judge these recordings' : `Play and record at ${name}`}
        </button>
      )}
      {!busy && state.takes.length > 0 && (
        <button type="button" onClick={onAgain}>
          Begin this board anew
        </button>
      )}
    </section>
  )
}

/** The stop button takes the focus with it when it goes: the button for the next step gets it. */
function useFocusWhenFree(busy: boolean) {
  const button = useRef<HTMLButtonElement>(null)
  const wasBusy = useRef(false)
  useEffect(() => {
    if (wasBusy.current && !busy) button.current?.focus()
    wasBusy.current = busy
  }, [busy])
  return button
}

function Knobs({ product, setting }: { product: Product; setting: string }) {
  const positions = product.settings.find(({ name }) => name === setting)?.positions
  return (
    <>
      <h2 className={styles.turn}>Turn the knobs to {setting}</h2>
      <ul className={styles.knobs}>
        {product.controls.map(({ name, label }) => (
          <Knob key={name} label={label} position={positions?.[name] ?? 0.5} />
        ))}
      </ul>
    </>
  )
}

/** Must be ticked before the first sound of a visit to this page. */
const Acknowledge = ({ quiet, onQuiet }: Pick<NextSettingProps, 'quiet' | 'onQuiet'>) => (
  <div className={styles.acknowledge}>
    <Caution>{playbackCaution}</Caution>
    <label>
      <input type="checkbox" required checked={quiet} onChange={({ target }) => onQuiet(target.checked)} />
      Headphones are off and loudspeakers are turned down
    </label>
  </div>
)

/** Takes the focus: the way to silence is one key away. Escape does the same. */
function StopButton({ onStop }: { onStop: () => void }) {
  const button = useRef<HTMLButtonElement>(null)
  useEffect(() => button.current?.focus(), [])
  return (
    <button ref={button} type="button" className={styles.stop} onClick={onStop} aria-keyshortcuts="Escape">
      Stop the sound <kbd>Esc</kbd>
    </button>
  )
}
