import { Box, Text, useApp } from 'ink'
import { useMemo, useState } from 'react'
import type { Bench } from '../bench.ts'
import { useBenchKeys } from '../hooks/use-bench-keys.ts'
import { useTerminalSize } from '../hooks/use-terminal-size.ts'
import { useTestSession } from '../hooks/use-test-session.ts'
import { useWorkshopVersion } from '../hooks/use-workshop-version.ts'
import { smallest } from '../look.ts'
import { rigLabelOf } from '../text/rig-words.ts'
import { BenchHeader } from './bench-header.tsx'
import { GaugeScreen } from './gauge-screen.tsx'
import { GuideScreen } from './guide/guide-screen.tsx'
import { HardScreen } from './hard-screen.tsx'
import { HelpScreen } from './help-screen.tsx'
import { RigCheckScreen } from './rig-check-screen.tsx'
import { SuspectsScreen } from './suspects-screen.tsx'
import { TestScreen } from './test-screen.tsx'
import { UnitScreen } from './unit-screen.tsx'
import { UnitsScreen } from './units-screen.tsx'

type Place =
  | { screen: 'test' | 'units' | 'guide' | 'rigCheck' | 'gauge' }
  | { screen: 'unit' | 'hard'; serial: string }
  | { screen: 'suspects'; serial: string; runId: string; from: Place }

const titles = {
  guide: 'Rig',
  rigCheck: 'Rig check',
  gauge: 'Gauge study',
  test: 'Test',
  units: 'Units',
  unit: 'Unit',
  hard: 'Pressed hard',
  suspects: 'Suspects',
  help: 'Help',
} as const

/** The bench: one header, one screen below it. */
export function BenchApp({ bench }: { bench: Bench }) {
  const { exit } = useApp()
  const { columns, rows: allRows } = useTerminalSize()
  const version = useWorkshopVersion(bench.workshop)
  const session = useTestSession(bench)
  const isOwnRig = bench.rig.kind === 'sound-interface'
  const [place, setPlace] = useState<Place>({ screen: isOwnRig && !bench.rig.settings ? 'guide' : 'test' })
  const [chosen, setChosen] = useState<{ serial: string } | undefined>()
  const [help, setHelp] = useState(false)

  // Also keeps the keyboard in raw mode while no screen listens.
  useBenchKeys((key) => tooSmall && key.name === 'text' && key.text === 'q' && exit())

  const tooSmall = columns < smallest.columns || allRows < smallest.rows
  const rows = allRows - 1 // a full last line would make the terminal scroll
  const body = { rows: rows - 2, onQuit: () => exit(), onHelp: () => setHelp(true) }
  const active = (screen: Place['screen']) => place.screen === screen && !help && !tooSmall
  const toTest = (serial: string) => {
    session.reset()
    setChosen({ serial })
    setPlace({ screen: 'test' })
  }
  const toSuspects = (run: { runId: string; serial: string }) =>
    setPlace((from) => ({ screen: 'suspects', ...run, from }))
  // biome-ignore lint/correctness/useExhaustiveDependencies: version says that the workshop has changed
  const reference = useMemo(() => bench.workshop.currentReference(bench.product.id), [bench, version])
  const subject = `${bench.product.name} rev. ${bench.product.revision}, ${reference ? `reference ${reference.version}` : 'no reference'}`
  // Always said, for a style that is left out later keeps its old value.
  const shown = (when: boolean) => (when ? 'flex' : 'none')
  return (
    <Box flexDirection="column" width={columns} height={tooSmall ? undefined : rows}>
      {tooSmall && (
        <Text wrap="wrap">
          {`The bench needs ${smallest.columns} x ${smallest.rows} characters; this window has ${columns} x ${allRows}. Make it larger, or Ctrl-C.`}
        </Text>
      )}
      {/* Screens stay mounted while they are hidden: what was typed and a run under way survive. */}
      <Box flexDirection="column" display={shown(!tooSmall)}>
        <BenchHeader
          title={titles[help ? 'help' : place.screen]}
          subject={subject}
          station={bench.workshop.station}
          rigLabel={isOwnRig ? rigLabelOf(bench.rig.settings) : bench.rigLabel}
          simulated={bench.rig.kind === 'simulated'}
        />
        {help && <HelpScreen columns={columns} rows={body.rows} active={!tooSmall} onBack={() => setHelp(false)} />}
        <Box display={shown(place.screen === 'test' && !help)}>
          <TestScreen
            bench={bench}
            session={session}
            reference={reference}
            chosen={chosen}
            columns={columns}
            active={active('test')}
            version={version}
            onUnits={() => setPlace({ screen: 'units' })}
            onRigCheck={() => setPlace({ screen: 'rigCheck' })}
            onGuide={isOwnRig ? () => setPlace({ screen: 'guide' }) : undefined}
            onSuspects={toSuspects}
            onHard={(serial) => setPlace({ screen: 'hard', serial })}
            {...body}
          />
        </Box>
        {place.screen === 'guide' && (
          <GuideScreen
            bench={bench}
            columns={columns}
            rows={body.rows}
            active={active('guide')}
            onBack={() => setPlace({ screen: 'test' })}
          />
        )}
        {(place.screen === 'rigCheck' || place.screen === 'gauge') && (
          <Box display={shown(!help)}>
            {place.screen === 'gauge' ? (
              <GaugeScreen
                {...{ bench, version, columns, ...body }}
                active={active('gauge')}
                onBack={() => setPlace({ screen: 'rigCheck' })}
              />
            ) : (
              <RigCheckScreen
                {...{ bench, version, columns, ...body }}
                active={active('rigCheck')}
                onGauge={() => setPlace({ screen: 'gauge' })}
                onBack={() => setPlace({ screen: 'test' })}
              />
            )}
          </Box>
        )}
        {place.screen === 'units' && !help && (
          <UnitsScreen
            bench={bench}
            active={active('units')}
            version={version}
            onOpen={(serial) => setPlace({ screen: 'unit', serial })}
            onBack={() => setPlace({ screen: 'test' })}
            {...body}
          />
        )}
        {place.screen === 'unit' && !help && (
          <UnitScreen
            bench={bench}
            serial={place.serial}
            version={version}
            active={active('unit')}
            onTest={toTest}
            onSuspects={toSuspects}
            onBack={() => setPlace({ screen: 'units' })}
            {...body}
          />
        )}
        {place.screen === 'hard' && (
          <Box display={shown(!help)}>
            <HardScreen
              key={place.serial}
              bench={bench}
              serial={place.serial}
              columns={columns}
              active={active('hard')}
              onBack={() => setPlace({ screen: 'test' })}
              {...body}
            />
          </Box>
        )}
        {place.screen === 'suspects' && (
          <Box display={shown(!help)}>
            <SuspectsScreen
              key={place.runId}
              bench={bench}
              runId={place.runId}
              serial={place.serial}
              version={version}
              columns={columns}
              active={active('suspects')}
              onTest={toTest}
              onBack={() => setPlace(place.from)}
              {...body}
            />
          </Box>
        )}
      </Box>
    </Box>
  )
}
