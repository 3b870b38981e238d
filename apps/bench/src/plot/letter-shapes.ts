// Letters of the large words as squares: `#` is ink. Two squares wide strokes would crowd at 80 columns, so strokes are one
// square and the squares are enlarged to the width of the terminal.
const shapes: Record<string, readonly string[]> = {
  A: [' ### ', '#   #', '#   #', '#####', '#   #', '#   #', '#   #'],
  B: ['#### ', '#   #', '#   #', '#### ', '#   #', '#   #', '#### '],
  C: [' ####', '#    ', '#    ', '#    ', '#    ', '#    ', ' ####'],
  D: ['#### ', '#   #', '#   #', '#   #', '#   #', '#   #', '#### '],
  E: ['#####', '#    ', '#    ', '#### ', '#    ', '#    ', '#####'],
  F: ['#####', '#    ', '#    ', '#### ', '#    ', '#    ', '#    '],
  I: ['###', ' # ', ' # ', ' # ', ' # ', ' # ', '###'],
  L: ['#    ', '#    ', '#    ', '#    ', '#    ', '#    ', '#####'],
  M: ['#   #', '## ##', '# # #', '# # #', '#   #', '#   #', '#   #'],
  N: ['#   #', '##  #', '# # #', '#  ##', '#   #', '#   #', '#   #'],
  O: [' ### ', '#   #', '#   #', '#   #', '#   #', '#   #', ' ### '],
  P: ['#### ', '#   #', '#   #', '#### ', '#    ', '#    ', '#    '],
  R: ['#### ', '#   #', '#   #', '#### ', '# #  ', '#  # ', '#   #'],
  S: [' ####', '#    ', '#    ', ' ### ', '    #', '    #', '#### '],
  T: ['#####', '  #  ', '  #  ', '  #  ', '  #  ', '  #  ', '  #  '],
  X: ['#   #', '#   #', ' # # ', '  #  ', ' # # ', '#   #', '#   #'],
  ' ': ['  ', '  ', '  ', '  ', '  ', '  ', '  '],
}

/** Squares of a word of capital letters, one square apart: `true` is ink. Rows all have the same length. */
export function letterSquares(word: string): boolean[][] {
  const rows: boolean[][] = Array.from({ length: 7 }, () => [])
  for (const [i, letter] of [...word].entries())
    for (const [row, line] of (shapes[letter] ?? []).entries()) {
      if (i > 0) rows[row].push(false)
      rows[row].push(...[...line].map((square) => square === '#'))
    }
  return rows
}
