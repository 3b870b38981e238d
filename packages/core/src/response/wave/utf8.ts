/** UTF-8 bytes of a text, by the language's own escaping: the pure part of core has no TextEncoder in its types. */
export const encodeUtf8 = (text: string): Uint8Array => {
  // A lone half of a surrogate pair has no UTF-8 form; U+FFFD stands for it, as in the Unicode standard.
  const escaped = encodeURIComponent(text.replace(/\p{Surrogate}/gu, '\ufffd'))
  const bytes: number[] = []
  for (let i = 0; i < escaped.length; i++) {
    const isByte = escaped[i] === '%'
    bytes.push(isByte ? Number.parseInt(escaped.slice(i + 1, i + 3), 16) : escaped.charCodeAt(i))
    if (isByte) i += 2
  }
  return Uint8Array.from(bytes)
}

/** The text of UTF-8 bytes, or null when they are not UTF-8. */
export const decodeUtf8 = (bytes: Uint8Array): string | null => {
  let escaped = ''
  for (const byte of bytes) escaped += `%${byte.toString(16).padStart(2, '0')}`
  try {
    return decodeURIComponent(escaped)
  } catch {
    return null
  }
}
