/** The steps of the set-up guide, in order. */
export const guideSteps = [
  { id: 'devices', title: 'Devices' },
  { id: 'limit', title: 'Limit and caution' },
  { id: 'levels', title: 'Levels in volts' },
  { id: 'correction', title: 'Loop-back correction' },
  { id: 'noise', title: 'Noise and overload' },
  { id: 'hum', title: 'Mains hum' },
  { id: 'resistances', title: 'Source and load' },
  { id: 'summary', title: 'Summary' },
] as const

export type GuideStepId = (typeof guideSteps)[number]['id']
