import { existsSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, it } from 'vitest'
import { runCommand } from './command-run.ts'

// Real processes over the built output: what the command says of itself, and what it answers to a slip.
const folder = mkdtempSync(join(tmpdir(), 'boardwright-help-'))
const at = (name: string) => join(folder, name)
const run = (...args: string[]) => runCommand(args, { cwd: folder, env: { BOARDWRIGHT_FILE: at('shop.boardwright') } })
afterAll(() => rmSync(folder, { recursive: true, force: true }))

describe('help and mistakes', () => {
  it('--help names every command, the exit codes and the place of the workshop', async () => {
    const { code, stdout, stderr } = await run('--help')
    expect({ code, stderr }).toEqual({ code: 0, stderr: '' })
    for (const name of [
      'open',
      'test',
      'reference',
      'sweep',
      'measure',
      'unit',
      'product',
      'serve',
      'backup',
      'check',
      'demo',
    ])
      expect(stdout).toMatch(new RegExp(`^  ${name}\\b`, 'm'))
    expect(stdout).toMatch(/Exit codes: 0 .*1 .*2 .*3 /s)
    expect(stdout).toContain('.boardwright')
    for (const line of stdout.split('\n')) expect([...line].length).toBeLessThanOrEqual(80)
  })

  it.each([[['sweep']], [['measure']], [['test']], [['reference', 'add']], [['unit', 'list']], [['open']]])(
    '%j --help has an explanation and exits 0',
    async (words) => {
      const { code, stdout } = await run(...words, '--help')
      expect(code).toBe(0)
      expect(stdout).toContain('Usage: boardwright')
      expect(stdout).toMatch(/--json +print the result as JSON/)
      for (const line of stdout.split('\n')) expect([...line].length).toBeLessThanOrEqual(80)
    },
  )

  it.each([
    [['swep'], /unknown command.*swep/i],
    [['sweep', '--out', 'x.wav', '--speed', '3'], /unknown option.*--speed/i],
    [['sweep'], /--out/],
    [[], /command is missing/],
    [['unit'], /command is missing/],
    [['sweep', '--out', 'x.wav', '--rate', '48k'], /48k.*plain number/],
    [['sweep', '--out', 'x.wav', '--seconds', '5s'], /5s.*plain number/],
    [['sweep', '--out', 'x.wav', '--rate', '1000'], /--rate/],
    [['sweep', '--out', 'x.wav', '--from', '900', '--to', '1000'], /too narrow/],
    [['sweep', '--out', 'x.wav', '--format', 'mp3'], /mp3/],
    [['test', '--unit', 'A1', '--setting', 'max'], /equals sign/],
    [['test', '--setting', 'max=a.wav'], /--unit/],
    [['open'], /needs a terminal that it can draw on/],
  ])('%j: one sentence, exit code 2, no stack', async (args, sentence) => {
    const { code, stdout, stderr } = await run(...args)
    expect(code).toBe(2)
    expect(stdout).toBe('')
    expect(stderr).toMatch(sentence)
    expect(stderr).not.toMatch(/\bat .*\.js:|\berror:/)
    expect(stderr.trim().split('\n')).toHaveLength(2)
    expect(existsSync(at('x.wav'))).toBe(false)
  })

  it('--json gives a mistake as JSON on standard output too', async () => {
    const { code, stdout } = await run('swep', '--json')
    expect(code).toBe(2)
    expect(JSON.parse(stdout).error).toMatchObject({
      code: 'bad-argument',
      message: expect.any(String),
      remedy: expect.any(String),
    })
  })

  it('does not make a workshop out of a slip in its path', async () => {
    const { code, stderr } = await runCommand(['unit', 'list', '--file', at('typo.boardwright')])
    expect(code).toBe(2)
    expect(stderr).toMatch(/There is no workshop file at .*typo/)
    expect(existsSync(at('typo.boardwright'))).toBe(false)
  })
})
