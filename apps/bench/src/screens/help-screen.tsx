import { Box, Text } from 'ink'
import { useBenchKeys } from '../hooks/use-bench-keys.ts'
import { Footer } from './footer.tsx'

const lines: readonly (readonly [string, string])[] = [
  ['Choose a unit', 'The unit that waits longest is offered. Scan or type another serial number'],
  ['', 'and press Enter to take it. A serial number that begins with Q: type / first.'],
  ['Test it', 'Enter or Space runs the settings of the test plan in turn. Esc stops;'],
  ['', 'a stopped run stores nothing.'],
  ['✓ PASS', 'Solid letters. Every limit is kept for certain; the unit is ready.'],
  ['✗ FAIL', 'Letters cut out of a plate. A limit is broken for certain; reasons below.'],
  ['↻ AGAIN', 'Grey letters. Too close to call, or the recording proves nothing: mend what'],
  ['', 'the reason names and measure again. This is never a pass and never a fail.'],
  ['Curves', '← and → show each setting. Solid line: the unit. Dashed: the reference.'],
  ['', 'Light dots: the tolerance. ▲ and ▼ on the axis: above or below the tolerance.'],
  ['Units', 'Tab lists all units; Enter there opens one, with its runs and history.'],
  ['Cautions', 'Sweeps can be loud: headphones off, loudspeakers down. Switch the rig off'],
  ['', 'before you touch a board. Keep to the rules of your own workshop.'],
]

export function HelpScreen({ rows, active, onBack }: { rows: number; active: boolean; onBack: () => void }) {
  useBenchKeys(onBack, { active })
  return (
    <Box flexDirection="column" height={rows}>
      <Box height={rows - 1} flexDirection="column" paddingTop={1} overflow="hidden">
        {lines.map(([subject, text]) => (
          <Text key={text} wrap="truncate">
            <Text bold>{` ${subject.padEnd(15)}`}</Text>
            {text}
          </Text>
        ))}
      </Box>
      <Footer keys={[['any key', 'back']]} />
    </Box>
  )
}
