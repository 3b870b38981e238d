import type { HardRun } from '@boardwright/core'
import { verdictWords } from './verdict-words.ts'

/** A run of a board that was pressed hard, line by line: how it clips, then the reasons. */
export const hardRunLines = ({ judgement }: Pick<HardRun, 'judgement'>): string[] => [
  ...judgement.reasons.map((reason) => `  ${verdictWords[reason.verdict].charAt(0)} ${reason.message}`),
  ...judgement.character.map((sentence) => `    ${sentence}`),
]
