import { spawn } from 'node:child_process'
import { BoardwrightError } from '../model/error.ts'

export interface ProgramCall {
  program: string
  arguments: readonly string[]
  environment: NodeJS.ProcessEnv
}

/** How long a program that only tells something may take, ms. */
const answerWithinMs = 5000

/** Messages in plain English, numbers with a point: both are read here. */
export const plainEnvironment = (environment: NodeJS.ProcessEnv): NodeJS.ProcessEnv => ({
  ...environment,
  LC_ALL: 'C',
  LANGUAGE: 'C',
})

/**
 * Runs a program to its end and gives what it wrote; null when there is no such program.
 * Errors: rig-failed when it hangs.
 */
export function runProgram(
  call: ProgramCall,
): Promise<{ exitCode: number | null; output: string; messages: string } | null> {
  return new Promise((resolve, reject) => {
    const child = spawn(call.program, call.arguments, {
      env: plainEnvironment(call.environment),
      stdio: ['ignore', 'pipe', 'pipe'],
      windowsHide: true,
    })
    let output = ''
    let messages = ''
    const timer = setTimeout(() => {
      child.kill('SIGKILL')
      reject(new BoardwrightError('rig-failed', `${call.program} did not answer within ${answerWithinMs / 1000} s.`))
    }, answerWithinMs)
    child.stdout.setEncoding('utf8').on('data', (text: string) => {
      output += text
    })
    child.stderr.setEncoding('utf8').on('data', (text: string) => {
      messages += text
    })
    child.on('error', (error: NodeJS.ErrnoException) => {
      clearTimeout(timer)
      if (error.code === 'ENOENT') resolve(null)
      else reject(new BoardwrightError('rig-failed', `${call.program} cannot be run: ${error.message}.`))
    })
    child.on('close', (exitCode) => {
      clearTimeout(timer)
      resolve({ exitCode, output, messages })
    })
  })
}
