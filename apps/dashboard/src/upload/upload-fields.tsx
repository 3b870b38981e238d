import type { Product } from '@boardwright/core'
import { settingPartPrefix, sweepPart } from '@boardwright/core/contract'
import { AllAtOnce } from './all-at-once.tsx'
import { RecordingField } from './recording-field.tsx'
import styles from './upload-page.module.css'

interface FieldsProps {
  products: readonly Product[]
  product: Product
  serial: string
  onProduct: (id: string) => void
}

/** The fields of an upload: serial number, a recording for every setting of the test plan, and what is seldom needed. */
export function UploadFields({ products, product, serial, onProduct }: FieldsProps) {
  return (
    <>
      <label className={styles.field}>
        Serial number
        <input
          name="serial"
          required
          defaultValue={serial}
          maxLength={32}
          autoComplete="off"
          autoCapitalize="characters"
          spellCheck={false}
        />
      </label>
      {products.length > 1 && (
        <label className={styles.field}>
          Product
          <select name="productId" value={product.id} onChange={(event) => onProduct(event.target.value)}>
            {products.map(({ id, name }) => (
              <option key={id} value={id}>
                {name}
              </option>
            ))}
          </select>
        </label>
      )}
      <fieldset className={styles.recordings}>
        <legend>Recordings of {product.name}</legend>
        {product.testPlan.settings.length > 1 && <AllAtOnce settings={product.testPlan.settings} />}
        {product.testPlan.settings.map((setting) => (
          <RecordingField
            key={setting}
            name={`${settingPartPrefix}${setting}`}
            title={setting}
            label={product.settings.find(({ name }) => name === setting)?.label}
            required
          />
        ))}
      </fieldset>
      <details className={styles.seldom}>
        <summary>Another sweep, or a looped-back channel</summary>
        <RecordingField
          name={sweepPart}
          title="Sweep that was played"
          label="only if it was not the test plan's"
          required={false}
        />
        <label className={styles.field}>
          Channel with the stimulus looped back
          <select name="loopBackChannel" defaultValue="">
            <option value="">none</option>
            <option value="left">left</option>
            <option value="right">right</option>
          </select>
        </label>
      </details>
    </>
  )
}
