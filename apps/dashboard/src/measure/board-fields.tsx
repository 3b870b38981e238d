import type { Product } from '@boardwright/core'
import { formatDbfs } from '@boardwright/core'
import { type RefObject, useState } from 'react'
import styles from './measure-page.module.css'
import type { Rig } from './rig-choice/rig-choice.ts'
import { RigFields } from './rig-choice/rig-fields.tsx'
import { useSoundDevices } from './rig-choice/use-sound-devices.ts'

interface BoardFieldsProps {
  products: readonly Product[]
  product: Product
  serial: string
  rig: Rig
  /** True from the first recording of a board to its verdict: they all belong to one number and one rig. */
  locked: boolean
  serialField: RefObject<HTMLInputElement | null>
  onProduct: (id: string) => void
  onSerial: (serial: string) => void
  onRig: (rig: Rig) => void
}

const rigWords = ({ output, input, maxLevelDbfs }: Rig): string =>
  `out ${output.label}, in ${input.label}, never above ${formatDbfs(maxLevelDbfs)}`

/** Which board, and through which devices. */
export function BoardFields(props: BoardFieldsProps) {
  const { products, product, serial, rig, locked } = props
  const sound = useSoundDevices()
  const [firstTime] = useState(rig.input.id === '' && rig.output.id === '')
  return (
    <div className={styles.setUp}>
      <fieldset disabled={locked}>
        <legend>Board</legend>
        <label className={styles.serial}>
          Serial number
          <input
            ref={props.serialField}
            required
            value={serial}
            onChange={({ target }) => props.onSerial(target.value)}
            maxLength={32}
            autoComplete="off"
            autoCapitalize="characters"
            spellCheck={false}
          />
        </label>
        {products.length > 1 && (
          <label className={styles.serial}>
            Product
            <select value={product.id} onChange={({ target }) => props.onProduct(target.value)}>
              {products.map(({ id, name }) => (
                <option key={id} value={id}>
                  {name}
                </option>
              ))}
            </select>
          </label>
        )}
      </fieldset>
      <details open={firstTime || !sound.devices.named} className={styles.rig}>
        <summary>
          Sound interface <span>{rigWords(rig)}</span>
        </summary>
        <fieldset disabled={locked} aria-label="Sound interface">
          <RigFields rig={rig} stimulus={product.testPlan.stimulus} sound={sound} onChange={props.onRig} />
        </fieldset>
      </details>
    </div>
  )
}
