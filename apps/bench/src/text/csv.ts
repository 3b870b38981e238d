const mustBeQuoted = /[",\r\n]/

/**
 * Rows as comma-separated values: CRLF after every record, quotes only where needed.
 * Source: RFC 4180, section 2.
 */
export function csv(rows: readonly (readonly (string | number)[])[]): string {
  const field = (value: string | number) => {
    const text = String(value)
    return mustBeQuoted.test(text) ? `"${text.replaceAll('"', '""')}"` : text
  }
  return rows.map((row) => `${row.map(field).join(',')}\r\n`).join('')
}
