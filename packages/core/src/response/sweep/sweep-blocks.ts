/** A block of the sweep's body: a whole number of its cycles, so that harmonics and offset stay out of a fit. */
export interface SweepBlock {
  /** First sample and first sample after it, counted from the start of the body. */
  startSample: number
  endSample: number
  /** Frequency of the sweep in the middle of the block, Hz. */
  frequencyHz: number
}

/** The sweep's body in quadrature and cut into blocks; everything a phase track of a recording needs to know. */
export interface SweepPhase {
  rateS: number
  /** sin and cos of the sweep's phase per sample of the body, without level and fades. */
  sine: Float64Array
  cosine: Float64Array
  blocks: SweepBlock[]
}
