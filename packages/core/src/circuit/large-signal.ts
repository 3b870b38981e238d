import type { ControlPositions } from '../model/circuit.ts'
import { linearRecording } from './linear-recording.ts'
import type { Netlist } from './netlist.ts'
import type { OperatingPoint } from './operating-point.ts'

export const largeSignal = (options: {
  netlist: Netlist
  values: Float64Array
  operatingPoint: OperatingPoint
  positions: ControlPositions
  input: Float64Array
  rateHz: number
}): Float64Array => linearRecording({ ...options, values: options.operatingPoint.values })
