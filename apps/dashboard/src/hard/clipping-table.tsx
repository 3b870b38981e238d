import { formatDb, formatHz, formatVoltage, type HardAtSupply, stepsByTone, toneClipping } from '@boardwright/core'
import styles from './hard.module.css'

export interface ClippingTableProps {
  unit: HardAtSupply
  reference: HardAtSupply
  clipPercent: number
}

const volts = (value: number | null): string => (value === null ? 'not reached' : formatVoltage(value))

/** Where each tone clips, against the reference board. */
export function ClippingTable({ unit, reference, clipPercent }: ClippingTableProps) {
  const tonesOf = (supply: HardAtSupply) =>
    stepsByTone(supply.steps).map(({ steps }) => toneClipping({ steps, clipPercent }))
  const references = tonesOf(reference)
  return (
    <table className={styles.table}>
      <caption>
        {unit.label}, {formatVoltage(unit.voltageV)}: levels at the board's input
      </caption>
      <thead>
        <tr>
          <th scope="col">Tone</th>
          <th scope="col">Clips from</th>
          <th scope="col">Reference</th>
          <th scope="col">1 dB less gain from</th>
          <th scope="col">Reference</th>
          <th scope="col">Output swing</th>
          <th scope="col">Upper half before lower</th>
        </tr>
      </thead>
      <tbody>
        {tonesOf(unit).map((tone, i) => (
          <tr key={tone.toneHz}>
            <th scope="row">{formatHz(tone.toneHz)}</th>
            <td>{volts(tone.clipV)}</td>
            <td>{volts(references[i]?.clipV ?? null)}</td>
            <td>{volts(tone.compressionV)}</td>
            <td>{volts(references[i]?.compressionV ?? null)}</td>
            <td>
              {formatVoltage(tone.lowV)} to {formatVoltage(tone.highV)}
            </td>
            <td>{tone.halvesDb === null ? 'neither held' : formatDb(tone.halvesDb, { signed: true })}</td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}
