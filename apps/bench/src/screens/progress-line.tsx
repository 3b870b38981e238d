import { Box, Text } from 'ink'
import { colour } from '../look.ts'
import type { SettingProgress } from '../session/setting-progress.ts'

/** A bar of `columns` cells in eighths. */
export function progressBar(fraction: number, columns: number): string {
  const eighths = Math.round(Math.min(1, Math.max(0, fraction)) * columns * 8)
  const full = Math.floor(eighths / 8)
  const part = eighths % 8 === 0 ? '' : ' ▏▎▍▌▋▊▉'[eighths % 8]
  return ('█'.repeat(full) + part).padEnd(columns, '·')
}

const markOf = { waiting: '○', running: '●', recorded: '✓' } as const

/** One line per setting: name, bar, what happens now. */
export function ProgressLines({ settings, columns }: { settings: readonly SettingProgress[]; columns: number }) {
  const width = Math.max(10, Math.floor(columns * 0.3))
  const nameWidth = Math.max(...settings.map((one) => one.setting.length))
  return (
    <Box flexDirection="column">
      {settings.map((one) => (
        <Text key={one.setting} wrap="truncate">
          {` ${markOf[one.state]} `}
          <Text bold={one.state === 'running'}>{one.setting.padEnd(nameWidth)}</Text>
          {'  '}
          <Text color={colour.good}>{progressBar(one.fraction, width)}</Text>
          {` ${String(Math.round(one.fraction * 100)).padStart(3)} %  `}
          <Text>{one.state === 'waiting' ? 'waits its turn' : one.activity}</Text>
        </Text>
      ))}
    </Box>
  )
}
