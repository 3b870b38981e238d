import { describe, expect, it } from 'vitest'
import { collectSettingFile, parseNumber, parseWhole } from '../src/parse-option.ts'
import { defaultWorkshopPath, workshopPath } from '../src/workshop-path.ts'

describe('numbers on the command line', () => {
  it.each([
    ['48000', 48000],
    ['-12', -12],
    ['0.5', 0.5],
    ['.5', 0.5],
    ['+3', 3],
  ])('%s is %f', (text, value) => expect(parseNumber(text)).toBe(value))
  it.each(['48k', '', ' ', '1e3', '0x10', '12dB', 'NaN', 'Infinity', '1,5', '--1', '1.2.3'])(
    '"%s" is refused',
    (text) => expect(() => parseNumber(text)).toThrow(/plain number/),
  )
  it.each(['0', '17', '2.5', '-1'])('"%s" is no count from 1 to 16', (text) =>
    expect(() => parseWhole({ least: 1, most: 16 })(text)).toThrow(/whole number from 1 to 16/),
  )
})

describe('--setting NAME=FILE', () => {
  it('collects in order, and a file name may hold an equals sign', () => {
    const once = collectSettingFile('max=a=b.wav')
    expect(collectSettingFile('min=c.wav', once)).toEqual([
      { setting: 'max', path: 'a=b.wav' },
      { setting: 'min', path: 'c.wav' },
    ])
  })
  it.each(['max', '=a.wav', 'max='])('"%s" is refused', (text) =>
    expect(() => collectSettingFile(text)).toThrow(/equals/),
  )
})

describe('where the workshop lies', () => {
  it('follows the XDG Base Directory Specification on Linux', () => {
    expect(defaultWorkshopPath({ XDG_DATA_HOME: '/data' }, 'linux')).toBe('/data/boardwright/workshop.boardwright')
    expect(defaultWorkshopPath({ XDG_DATA_HOME: 'relative' }, 'linux')).toMatch(/\/\.local\/share\/boardwright\//)
  })
  it('--file wins over BOARDWRIGHT_FILE', () => {
    const env = { BOARDWRIGHT_FILE: '/b.boardwright' }
    expect(workshopPath({ env })).toBe('/b.boardwright')
    expect(workshopPath({ env, file: '/a.boardwright' })).toBe('/a.boardwright')
  })
})
