import { useCallback, useRef, useState } from 'react'

/**
 * A question that waits for a person: `ask` resolves with what `answer` is called with, and rejects with the signal's reason.
 */
export function useQuestion<Question, Answer>() {
  const [question, setQuestion] = useState<Question>()
  const answering = useRef<(answer: Answer) => void>(() => {})
  const ask = useCallback(
    (what: Question, signal: AbortSignal) =>
      new Promise<Answer>((resolve, reject) => {
        const settle = (end: () => void) => {
          answering.current = () => {}
          setQuestion(undefined)
          end()
        }
        answering.current = (answer) => settle(() => resolve(answer))
        signal.addEventListener('abort', () => settle(() => reject(signal.reason)), { once: true })
        setQuestion(() => what)
      }),
    [],
  )
  const answer = useCallback((one: Answer) => answering.current(one), [])
  return { question, ask, answer }
}
