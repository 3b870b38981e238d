import type { SweepSettings } from '@boardwright/core'
import { formatDbfs, formatRate } from '@boardwright/core'
import { ProblemSlip } from '../../frame/problem.tsx'
import { choosesOutput } from '../sound/sound-devices.ts'
import { ChannelField } from './channel-field.tsx'
import { DeviceField } from './device-field.tsx'
import { LimitField } from './limit-field.tsx'
import type { Rig } from './rig-choice.ts'
import styles from './rig-fields.module.css'
import type { useSoundDevices } from './use-sound-devices.ts'

interface RigFieldsProps {
  rig: Rig
  stimulus: SweepSettings
  sound: ReturnType<typeof useSoundDevices>
  onChange: (rig: Rig) => void
}

/** Which devices and channels play and record, and the level that is never exceeded. */
export function RigFields({ rig, stimulus, sound, onChange }: RigFieldsProps) {
  const { devices, problem, ask } = sound
  const change = (part: Partial<Rig>) => onChange(withoutClash({ ...rig, ...part }))
  return (
    <>
      {!devices.named && (
        <div className={styles.ask}>
          <p>The browser tells the names of the devices when you have allowed the microphone.</p>
          <button type="button" onClick={() => void ask()}>
            Allow and show the devices
          </button>
        </div>
      )}
      {problem !== undefined && <ProblemSlip error={problem} />}
      <div className={styles.pair}>
        <OutputField {...{ devices, rig, change }} />
        <ChannelField
          title="Output channel"
          chosen={rig.outputChannel}
          onChoice={(channel) => change({ outputChannel: channel ?? 0 })}
        />
        <DeviceField
          title="Input"
          devices={devices.inputs}
          named={devices.named}
          chosen={rig.input}
          onChoice={(input) => change({ input })}
        />
        <ChannelField
          title="Input channel"
          chosen={rig.inputChannel}
          onChoice={(channel) => change({ inputChannel: channel ?? 0 })}
        />
        <LimitField maxLevelDbfs={rig.maxLevelDbfs} onChange={(maxLevelDbfs) => change({ maxLevelDbfs })} />
        <ChannelField
          title="Loop-back channel"
          none="none"
          chosen={rig.loopBackChannel}
          onChoice={(loopBackChannel) => change({ loopBackChannel })}
        />
      </div>
      <p className={styles.note}>
        Sweep: {formatRate(stimulus.rateHz)}, peak {formatDbfs(stimulus.levelDbfs)}. Set both devices to{' '}
        {formatRate(stimulus.rateHz)} and their volumes to 100 %: a browser cannot see either.
      </p>
    </>
  )
}

/** One channel cannot carry both the board and the loop-back. */
const withoutClash = (rig: Rig): Rig =>
  rig.loopBackChannel === rig.inputChannel ? { ...rig, loopBackChannel: null } : rig

interface OutputFieldProps extends Pick<RigFieldsProps, 'rig'> {
  devices: RigFieldsProps['sound']['devices']
  change: (part: Partial<Rig>) => void
}

function OutputField({ devices, rig, change }: OutputFieldProps) {
  if (!choosesOutput())
    return (
      <p className={styles.field}>
        Output <span>This browser plays where the computer plays; choose that in the sound settings.</span>
      </p>
    )
  return (
    <DeviceField
      title="Output"
      devices={devices.outputs}
      named={devices.named}
      chosen={rig.output}
      onChoice={(output) => change({ output })}
    />
  )
}
