/** A table as lines of text: columns as wide as their widest cell, two blanks apart. */
export function textTable(rows: readonly (readonly string[])[]): string {
  const widths = rows.reduce<number[]>((most, row) => row.map((cell, i) => Math.max(most[i] ?? 0, cell.length)), [])
  return rows
    .map((row) =>
      row
        .map((cell, i) => cell.padEnd(widths[i]))
        .join('  ')
        .trimEnd(),
    )
    .join('\n')
}
