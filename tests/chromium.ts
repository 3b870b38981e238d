import { existsSync } from 'node:fs'
import { type Browser, chromium } from 'playwright-core'

const places = [
  process.env.BOARDWRIGHT_CHROMIUM,
  '/usr/bin/chromium',
  '/usr/bin/chromium-browser',
  '/usr/bin/google-chrome',
  '/Applications/Chromium.app/Contents/MacOS/Chromium',
]

// A browser for one page on loopback: nothing that talks to the world, no sandbox because CI runs as root.
const flags =
  '--headless --no-sandbox --disable-gpu --disable-quic --no-first-run --disable-background-networking ' +
  '--disable-component-update --disable-sync'

/** Where Chromium is. Throws in words when there is none: the tests of the desk prove nothing without a browser. */
function findChromium(): string {
  const found = places.find((place) => place !== undefined && existsSync(place))
  if (found === undefined)
    throw new Error(
      'Chromium is missing, so the desk cannot be tested: install the Debian package "chromium", or name the program in ' +
        'BOARDWRIGHT_CHROMIUM.',
    )
  return found
}

/** @param options.sound environment of a sound server: the browser then plays and records through it, and may */
export const launchChromium = (options: { sound?: NodeJS.ProcessEnv } = {}): Promise<Browser> =>
  chromium.launch({
    executablePath: findChromium(),
    args: flags.split(' '),
    ...(options.sound && { env: { ...options.sound }, ignoreDefaultArgs: ['--mute-audio'] }),
  })
