/** The multipart body from the form's fields: what was left empty stays out. */
export function uploadBody(form: FormData): FormData {
  const body = new FormData()
  const files: [string, File][] = []
  for (const [name, value] of form) {
    if (typeof value !== 'string') {
      if (value.size > 0) files.push([name, value])
    } else if (value.trim() !== '') body.set(name, value.trim())
  }
  // Files last: the server then knows the serial number before the first recording arrives.
  for (const [name, file] of files) body.set(name, file)
  return body
}
