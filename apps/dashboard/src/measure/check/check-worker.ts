// Checks recordings on a thread of its own, so that the page stays alive meanwhile.
import '../../api/no-eval.ts'
import type { CheckReply, CheckRequest } from './check-messages.ts'
import { checkTake, prepareCheck } from './check-take.ts'

const reply = (message: CheckReply) => postMessage(message)

addEventListener('message', ({ data }: MessageEvent<CheckRequest>) => {
  const { id } = data
  try {
    if (data.channels.length === 0) prepareCheck(data)
    else reply({ id, check: checkTake(data) })
  } catch (error) {
    reply({ id, failure: error instanceof Error ? error.message : String(error) })
  }
})
