import { type BoardLayout, leadBend, type Part, partMarking, type WorkStep } from '@boardwright/core'

/**
 * Work steps as lines of text: what to place and where, how the part is marked, how its leads are bent, the cautions.
 */
export function stepLines(options: {
  steps: readonly WorkStep[]
  parts: ReadonlyMap<string, Part>
  board: BoardLayout | undefined
}): string[] {
  const { steps, parts, board } = options
  const lines: string[] = []
  let group: string | undefined
  for (const step of steps) {
    if (step.group !== group) lines.push(` ${step.group ?? 'then'}`)
    group = step.group
    const place = board?.placements.find(({ designator }) => designator === step.designators[0])
    const part = step.part === undefined ? undefined : parts.get(step.part)
    const marking = part && partMarking(part)
    const bend = place && leadBend({ placement: place, leadPitchMm: part?.leadPitchMm })
    const count = step.designators.length > 1 ? `${step.designators.length} pieces` : ''
    const details = [count, marking?.words, marking?.polarity, bend?.words, step.text].filter(Boolean)
    lines.push(`  ${step.key}  ${step.title}`)
    if (details.length > 0) lines.push(`      ${details.join('; ')}`)
    for (const one of step.checklist) lines.push(`      [ ] ${one}`)
    for (const caution of step.cautions) lines.push(`      Caution: ${caution}`)
  }
  return lines
}
