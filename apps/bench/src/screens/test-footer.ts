import type { TestSession } from '../hooks/use-test-session.ts'
import type { RunQuestion } from '../session/test-request.ts'

const footers = {
  ready: [
    ['Enter', 'test'],
    ['type or scan', 'unit'],
    ['Tab', 'units'],
    ['c', 'rig check'],
    ['?', 'help'],
    ['q', 'quit'],
  ],
  readyOwnRig: [
    ['Enter', 'test'],
    ['type or scan', 'unit'],
    ['Tab', 'units'],
    ['c', 'check'],
    ['g', 'rig'],
    ['?', 'help'],
    ['q', 'quit'],
  ],
  typing: [
    ['Enter', 'take this serial number'],
    ['Esc', 'undo'],
    ['?', 'help'],
  ],
  running: [['Esc', 'stop: nothing is stored']],
  asked: [
    ['Enter', 'go on'],
    ['Esc', 'stop: nothing is stored'],
  ],
  contact: [
    ['Enter', 'try again'],
    ['m', 'measure all the same'],
    ['Esc', 'stop: nothing is stored'],
  ],
  verdict: [
    ['Enter', 'next'],
    ['Space', 'again'],
    ['h', 'press hard'],
    ['← →', 'curves'],
    ['Tab', 'units'],
    ['?', 'help'],
    ['q', 'quit'],
  ],
  failed: [
    ['s', 'suspects'],
    ['Enter', 'next'],
    ['Space', 'again'],
    ['← →', 'curves'],
    ['?', 'help'],
    ['q', 'quit'],
  ],
  problem: [
    ['Enter', 'try again'],
    ['Esc', 'back'],
    ['?', 'help'],
    ['q', 'quit'],
  ],
} as const

/** What the keys do on the test screen now. */
export function testFooter(now: {
  phase: TestSession['phase']['kind']
  typing: boolean
  failed: boolean
  ownRig: boolean
  question: RunQuestion | undefined
}): (typeof footers)[keyof typeof footers] {
  if (now.question) return now.question.kind === 'contact' ? footers.contact : footers.asked
  if (now.typing) return footers.typing
  if (now.phase === 'ready' && now.ownRig) return footers.readyOwnRig
  return now.failed ? footers.failed : footers[now.phase]
}
