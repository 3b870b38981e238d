import { useRef, useState } from 'react'
import type { BenchKey } from './use-bench-keys.ts'

export interface FormField {
  name: string
  label: string
  /** One of these with the arrow keys; without them the field takes text. */
  choices?: readonly string[]
  most?: number
}

/**
 * A form of one field a line. Enter goes to the next line and not further, so that a scanner's Enter cannot send the form;
 * on the line below the last field it calls `onDone`.
 */
export function useFormFields(options: {
  fields: readonly FormField[]
  initial: Record<string, string>
  onDone: (values: Record<string, string>) => void
}) {
  const { fields, onDone } = options
  const [shown, setShown] = useState({ line: 0, values: options.initial })
  // Several keys of a scanner come before the next drawing.
  const now = useRef(shown)
  const change = (next: Partial<typeof shown>) => {
    now.current = { ...now.current, ...next }
    setShown(now.current)
  }
  const write = (field: FormField, text: string) =>
    change({ values: { ...now.current.values, [field.name]: text.slice(0, field.most ?? 120) } })
  const step = (by: number) => change({ line: Math.max(0, Math.min(fields.length, now.current.line + by)) })

  const choose = (field: FormField, by: number) => {
    const { choices = [] } = field
    const at = choices.indexOf(now.current.values[field.name] ?? '')
    const next = choices[(at + by + choices.length) % choices.length]
    if (next !== undefined) write(field, next)
  }
  const onKey = (key: BenchKey): void => {
    const { line, values } = now.current
    const field = fields[line]
    if (key.name === 'up') step(-1)
    else if (key.name === 'down' || key.name === 'tab') step(1)
    else if (key.name === 'enter') {
      if (field) step(1)
      else onDone(values)
    } else if (!field) return
    else if (key.name === 'left' || key.name === 'right') choose(field, key.name === 'right' ? 1 : -1)
    else if (field.choices) return
    else if (key.name === 'backspace') write(field, (values[field.name] ?? '').slice(0, -1))
    else if (key.name === 'space') write(field, `${values[field.name] ?? ''} `)
    else if (key.name === 'text') write(field, (values[field.name] ?? '') + key.text)
  }
  return { ...shown, onKey }
}
