export interface MatchedRecordings {
  /** Setting to file name. */
  bySetting: Map<string, string>
  /** Names that fit no setting, or one that is taken already. */
  unmatched: string[]
  /** What stands before the setting, when all matched files agree on it. */
  serial: string | undefined
}

/**
 * Tells from file names such as PLV-0042-max.wav which recording belongs to which setting: the name ends in a hyphen and
 * the setting, in small or capital letters.
 */
export function matchRecordings(names: readonly string[], settings: readonly string[]): MatchedRecordings {
  const bySetting = new Map<string, string>()
  const unmatched: string[] = []
  const serials = new Set<string>()
  // The longest first: "bass-only" before a setting that is called "only".
  const longestFirst = [...settings].sort((a, b) => b.length - a.length)
  for (const name of names) {
    const stem = name.replace(/\.wave?$/i, '')
    const setting = longestFirst.find((candidate) => stem.toLowerCase().endsWith(`-${candidate}`))
    if (setting === undefined || bySetting.has(setting)) {
      unmatched.push(name)
      continue
    }
    bySetting.set(setting, name)
    serials.add(stem.slice(0, -setting.length - 1).toUpperCase())
  }
  return { bySetting, unmatched, serial: serials.size === 1 ? [...serials][0] : undefined }
}
