import { useCallback, useEffect, useState } from 'react'
import { askForSound, listSoundDevices, type SoundDevices } from '../sound/sound-devices.ts'

/** Until the browser has answered nothing is asked of the maker. */
const notYetKnown: SoundDevices = { inputs: [], outputs: [], named: true }

/** The devices that are there now, kept up to date; `ask` asks the maker for the microphone, which gives them names. */
export function useSoundDevices() {
  const [devices, setDevices] = useState(notYetKnown)
  const [problem, setProblem] = useState<unknown>()
  const look = useCallback(async () => {
    try {
      setDevices(await listSoundDevices())
    } catch (error) {
      setProblem(error)
    }
  }, [])
  useEffect(() => {
    void look()
    const { mediaDevices } = navigator
    mediaDevices?.addEventListener('devicechange', look)
    return () => mediaDevices?.removeEventListener('devicechange', look)
  }, [look])
  const ask = async () => {
    setProblem(undefined)
    try {
      await askForSound()
    } catch (error) {
      setProblem(error)
    }
    await look()
  }
  return { devices, problem, ask, look }
}
