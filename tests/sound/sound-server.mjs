// A private sound server without a sound card, for tests: null sinks, their monitors as inputs, and an independent
// equaliser (dj_eq, a LADSPA plug-in) as the board under test. By hand: node tests/sound/sound-server.mjs
import { spawn, spawnSync } from 'node:child_process'
import { existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { setTimeout as delay } from 'node:timers/promises'

/** Low, mid and high gain of the equaliser in dB, as two boards: one with all up, one with all down. */
export const equalisers = { board_max: [6, 0, 6], board_min: [-12, 0, -12] }
export const ladspaFolder = process.env.LADSPA_PATH ?? '/usr/lib/ladspa'

const programs = ['pulseaudio', 'pactl', 'pacat']

function needPrograms() {
  const missing = programs.filter((name) => spawnSync('sh', ['-c', `command -v ${name}`]).status !== 0)
  if (!existsSync(join(ladspaFolder, 'dj_eq_1901.so'))) missing.push('dj_eq_1901.so')
  if (missing.length > 0)
    throw new Error(
      `${missing.join(', ')} missing; npm test installs the Debian packages pulseaudio, pulseaudio-utils and swh-plugins, or install them by hand.`,
    )
}

// Without norewinds a null sink loses its first 600 frames, always.
const nullSink = (name, rateHz, format = 'float32le') =>
  `module-null-sink sink_name=${name} rate=${rateHz} format=${format} channels=2 norewinds=1 sink_properties=device.description=${name}`
const input = (name, sink) =>
  `module-remap-source source_name=${name} master=${sink}.monitor remix=no source_properties=device.description=${name}`
const board = (name, gains) =>
  `module-ladspa-sink sink_name=${name} sink_master=rig plugin=dj_eq_1901 label=dj_eq_mono control=${gains.join(',')} sink_properties=device.description=${name}`

const configuration = `default-sample-rate = 48000
alternate-sample-rate = 96000
default-sample-format = float32le
flat-volumes = no
enable-shm = no
high-priority = no
realtime-scheduling = no
exit-idle-time = -1
`

/** Starts the server and waits until all its devices are there. */
export async function startSoundServer() {
  needPrograms()
  const folder = mkdtempSync(join(tmpdir(), 'boardwright-sound-'))
  const socket = join(folder, 'native')
  writeFileSync(join(folder, 'daemon.conf'), configuration)
  const environment = {
    ...process.env,
    PULSE_SERVER: `unix:${socket}`,
    PULSE_RUNTIME_PATH: folder,
    PULSE_STATE_PATH: folder,
    PULSE_COOKIE: join(folder, 'cookie'),
    PULSE_CONFIG: join(folder, 'daemon.conf'),
    LADSPA_PATH: ladspaFolder,
    LC_ALL: 'C',
  }
  const modules = [
    `module-native-protocol-unix socket=${socket} auth-anonymous=1`,
    nullSink('rig', 48_000),
    nullSink('rig96', 96_000),
    nullSink('rig44', 44_100, 's16le'),
    ...Object.entries(equalisers).map(([name, gains]) => board(name, gains)),
    input('rig_in', 'rig'),
    input('rig96_in', 'rig96'),
    input('rig44_in', 'rig44'),
  ]
  const words = ['-n', '--daemonize=no', '--use-pid-file=no', '--disallow-module-loading=no']
  const server = spawn('pulseaudio', [...words, ...modules.flatMap((line) => ['-L', line])], {
    env: environment,
    stdio: ['ignore', 'ignore', 'pipe'],
  })
  let messages = ''
  server.stderr.on('data', (text) => {
    messages += text
  })
  const ended = new Promise((resolve) => server.on('exit', resolve))
  // A test that breaks off must not leave it behind.
  const onExit = () => server.kill('SIGKILL')
  process.on('exit', onExit)
  const control = (...command) => {
    const { status, stdout, stderr } = spawnSync('pactl', command, { env: environment, encoding: 'utf8' })
    if (status !== 0) throw new Error(`pactl ${command.join(' ')}: ${stderr}`)
    return stdout
  }
  const stop = async () => {
    server.kill('SIGKILL')
    await ended
    process.off('exit', onExit)
    rmSync(folder, { recursive: true, force: true })
  }
  for (let tries = 0; ; tries++) {
    try {
      if (control('list', 'short', 'sources').includes('rig44_in')) break
    } catch {
      // It is not listening yet.
    }
    if (tries === 100 || server.exitCode !== null) {
      await stop()
      throw new Error(`The sound server did not start: ${messages}`)
    }
    await delay(100)
  }
  return {
    environment,
    control,
    pid: server.pid,
    kill: () => server.kill('SIGKILL'),
    stop,
    load: (line) => Number(control('load-module', ...line.split(' '))),
    nullSink,
    input,
  }
}

if (process.argv[1] === import.meta.filename) {
  const server = await startSoundServer()
  console.log(`export PULSE_SERVER=${server.environment.PULSE_SERVER}\nCtrl-C ends the sound server.`)
  process.on('SIGINT', () => server.stop().then(() => process.exit(0)))
}
