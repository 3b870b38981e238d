import { forgetBuildServer } from '../apps/bench/src/terminal-environment.ts'

// On a build server Ink would draw nothing until it ends; the bench forgets about it as it opens, and so do its tests.
forgetBuildServer(process.env)
