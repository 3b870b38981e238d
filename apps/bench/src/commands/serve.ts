import { parseWhole } from '../parse-option.ts'
import type { Declare } from './declare.ts'

export const declareServe: Declare = (program, attach) => {
  const command = program
    .command('serve')
    .summary('serve the desk (web page) and the API on this computer; Ctrl-C stops')
    .option('--port <n>', 'TCP port; 0 takes any free one', parseWhole({ least: 0, most: 65_535 }))
  attach(command, async () => (await import('../actions/serve.ts')).serve)
}
