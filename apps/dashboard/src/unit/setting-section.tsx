import type { ReferenceSetting, SettingJudgement, SettingMeasurement } from '@boardwright/core'
import { formatDb } from '@boardwright/core'
import { useId, useMemo, useState } from 'react'
import { Figure } from '../chart/figure.tsx'
import { ReadOut } from '../chart/read-out.tsx'
import { useFrequencyView } from '../chart/use-frequency-view.ts'
import { ViewButtons } from '../chart/view-buttons.tsx'
import { VerdictMark } from '../verdict/verdict-mark.tsx'
import { CompareChoice } from './compare-choice.tsx'
import { DistortionFigures } from './distortion-figures.tsx'
import { FindingsList } from './findings-list.tsx'
import { MeasurementFigures } from './measurement-figures.tsx'
import { curveChart, deviationChart, type SettingDrawing, stretchesAligned } from './setting-charts.ts'
import styles from './setting-section.module.css'
import { describePoint, summariseChart } from './setting-words.ts'

interface SettingProps {
  serial: string
  measurement: SettingMeasurement
  judgement: SettingJudgement | undefined
  reference: ReferenceSetting | undefined
  label: string | undefined
  /** Whether the test plan judges this setting level-aligned: the view that is shown first. */
  judgedAligned: boolean
  predicted: SettingDrawing['predicted']
}

/** One setting of a test run: its curves, what the recording was like, its distortion and noise. */
export function SettingSection(props: SettingProps) {
  const { measurement, judgement, label } = props
  const id = useId()
  return (
    <section className={styles.setting} aria-labelledby={id} data-setting={measurement.setting}>
      <header className={styles.head}>
        <h2 id={id}>
          {measurement.setting}
          {label && label !== measurement.setting && <span>: {label}</span>}
        </h2>
        {judgement && <VerdictMark verdict={judgement.verdict} />}
      </header>
      <FindingsList findings={measurement.findings} />
      {measurement.curve && measurement.curve.frequencyHz.length > 1 ? (
        <Curves {...props} curve={measurement.curve} />
      ) : (
        <p className={styles.none}>There is no curve: the recording was refused.</p>
      )}
      <MeasurementFigures measurement={measurement} judgement={judgement} />
    </section>
  )
}

function Curves({
  serial,
  measurement,
  judgement,
  reference,
  judgedAligned,
  predicted,
  curve,
}: SettingProps & { curve: NonNullable<SettingMeasurement['curve']> }) {
  const { setting, distortion } = measurement
  const whole = useMemo(
    () => ({ fromHz: curve.frequencyHz[0] ?? 20, toHz: curve.frequencyHz[curve.frequencyHz.length - 1] ?? 20_000 }),
    [curve],
  )
  const view = useFrequencyView(whole)
  const [chosen, setAligned] = useState<boolean>()
  const aligned = chosen ?? stretchesAligned(judgement) ?? judgedAligned
  const drawing = useMemo(
    () => curveChart({ curve, judgement, reference, aligned, predicted }),
    [curve, judgement, reference, aligned, predicted],
  )
  const deviation = useMemo(
    () => (judgement && judgement.frequencyHz.length > 1 ? deviationChart({ judgement, aligned }) : undefined),
    [judgement, aligned],
  )
  const db = (value: number) => formatDb(value, { digits: 2, signed: true })
  return (
    <>
      <div className={styles.tools}>
        <ViewButtons view={view} of={setting} />
        <CompareChoice setting={setting} aligned={aligned} onChange={setAligned} />
      </div>
      <div className={styles.pair}>
        <Figure
          of={setting}
          title={`Curve over reference and tolerance band (dB), ${aligned ? 'level-aligned' : 'absolute'}`}
          summary={summariseChart({ what: 'Response curve', serial, setting, judgement })}
          yLabel="Gain (dB)"
          leastSpan={12}
          data={drawing}
          view={view}
          formatValue={db}
        />
        {deviation && (
          <Figure
            of={setting}
            title="Deviation from the reference (dB)"
            summary={summariseChart({ what: 'Deviation from the reference', serial, setting, judgement })}
            yLabel="Deviation (dB)"
            leastSpan={2}
            data={deviation}
            view={view}
            formatValue={db}
          />
        )}
      </div>
      <ReadOut
        view={view}
        frequencyHz={curve.frequencyHz}
        describe={(index) => describePoint({ curve, judgement, reference, aligned, index })}
      />
      {distortion && <DistortionFigures distortion={distortion} view={view} serial={serial} setting={setting} />}
    </>
  )
}
