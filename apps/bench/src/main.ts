import { runCommandLine } from './command-line.ts'

// A reader that has seen enough (`| head`) closes the pipe: that is no error of ours.
for (const stream of [process.stdout, process.stderr])
  stream.on('error', (error: NodeJS.ErrnoException) => {
    if (error.code !== 'EPIPE') throw error
    process.exit(process.exitCode ?? 0)
  })

process.exitCode = await runCommandLine(process.argv.slice(2), {
  env: process.env,
  stdout: process.stdout,
  stderr: process.stderr,
  json: false,
})
