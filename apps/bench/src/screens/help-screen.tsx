import { Box, Text } from 'ink'
import { useBenchKeys } from '../hooks/use-bench-keys.ts'
import { wrapWords } from '../text/wrap-words.ts'
import { Footer } from './footer.tsx'

const lines: readonly (readonly [string, string])[] = [
  [
    'Unit',
    'The one that waits longest is offered. Scan or type another serial number, Enter takes it. One that begins with Q or C (after a fail: or S): type / first.',
  ],
  [
    'Test',
    'Enter or Space runs the settings of the test plan in turn. Esc stops; a stopped run stores nothing. A board without contact is not swept: mend it, Enter tries again.',
  ],
  ['✓ PASS', 'Solid letters. Every limit is kept for certain; the unit is ready.'],
  ['✗ FAIL', 'Letters cut out of a plate. A limit is broken for certain; the reasons stand below.'],
  [
    '↻ REPEAT',
    'Grey letters. Too close to call, or a recording proves nothing: mend what the reason names and measure again.',
  ],
  [
    'Curves',
    '← and → show each setting. Solid: the unit. Dashed: the reference. Light dots: the limits. ▲ ▼ on the axis: the curve is above or below them.',
  ],
  [
    'Suspects',
    's after a fail: what is probably wrong, how probable it is, and where it sits: filled on the board, arrows on its edge. c tells what a check showed, r records a rework.',
  ],
  [
    'Rig check',
    'c: the reference board proves the rig. Due first thing and after so many units; when the rig has drifted, nothing is tested until it is good again. g there: gauge study.',
  ],
  ['Units', 'Tab lists all units; Enter there opens one, with its runs and history.'],
  [
    'Caution',
    'A sweep can be loud: headphones off, loudspeakers down. Switch the rig off before you touch a board. Keep to the rules of your own workshop.',
  ],
]

export function HelpScreen({
  columns,
  rows,
  active,
  onBack,
}: {
  columns: number
  rows: number
  active: boolean
  onBack: () => void
}) {
  useBenchKeys(onBack, { active })
  return (
    <Box flexDirection="column" height={rows}>
      <Box height={rows - 1} flexDirection="column" paddingTop={1} overflow="hidden">
        {lines.map(([subject, text]) => (
          <Box key={subject} paddingX={1}>
            <Box width={10} flexShrink={0}>
              <Text bold>{subject}</Text>
            </Box>
            <Text>{wrapWords(text, columns - 13).join('\n')}</Text>
          </Box>
        ))}
      </Box>
      <Footer keys={[['any key', 'back']]} />
    </Box>
  )
}
