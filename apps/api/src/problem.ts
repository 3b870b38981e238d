import { type ErrorCode, errorCatalogue, isBoardwrightError } from '@boardwright/core'
import { type Problem, type ProblemKind, routes } from '@boardwright/core/contract'
import { InvalidRequest } from './invalid-request.ts'

/** Title, status and remedy of a code; the title never changes from one occurrence to the next. */
export function problemKind(code: ErrorCode): ProblemKind {
  const words = code.replaceAll('-', ' ')
  return { code, title: words[0].toUpperCase() + words.slice(1), ...errorCatalogue[code] }
}

const fromLibrary: Record<string, { code: ErrorCode; detail: string }> = {
  FST_ERR_CTP_INVALID_MEDIA_TYPE: {
    code: 'unsupported-media-type',
    detail: 'The body is sent in a format that this route does not read.',
  },
  FST_ERR_CTP_BODY_TOO_LARGE: { code: 'too-large', detail: 'The body of the request is too large.' },
  FST_REQ_FILE_TOO_LARGE: { code: 'too-large', detail: 'A file of the upload is too large.' },
  FST_FILES_LIMIT: { code: 'too-large', detail: 'The upload has too many files.' },
  FST_FIELDS_LIMIT: { code: 'too-large', detail: 'The upload has too many fields.' },
  FST_PARTS_LIMIT: { code: 'too-large', detail: 'The upload has too many parts.' },
  FST_PROTO_VIOLATION: { code: 'bad-request', detail: 'A part of the upload has a name that is not allowed.' },
  FST_MP_PREMATURE_CLOSE: { code: 'bad-request', detail: 'The upload ended before it was complete.' },
  FST_ERR_CTP_EMPTY_JSON_BODY: { code: 'bad-request', detail: 'The body should be JSON but is empty.' },
  FST_ERR_CTP_INVALID_JSON_BODY: { code: 'bad-request', detail: 'The body is not valid JSON.' },
  ECONNRESET: { code: 'bad-request', detail: 'The sender broke off in the middle of the request.' },
  FST_ERR_BAD_URL: { code: 'bad-request', detail: 'The address is not a valid URL path.' },
}

const bugDetail = 'Boardwright could not answer this request because of a bug of its own; what is stored is whole.'

function explain(error: unknown): { code: ErrorCode; detail: string; remedy?: string } {
  if (isBoardwrightError(error)) return { code: error.code, detail: error.message, remedy: error.remedy }
  if (!(error instanceof Error)) return { code: 'internal', detail: bugDetail }
  const { code, statusCode = 500 } = error as Error & { code?: string; statusCode?: number }
  if (code !== undefined && Object.hasOwn(fromLibrary, code)) return fromLibrary[code]
  // What the HTTP layer refuses without a name of its own is still the sender's to mend.
  if (statusCode === 404) return { code: 'not-found', detail: error.message }
  if (statusCode >= 400 && statusCode < 500)
    return { code: 'bad-request', detail: `The request is wrong: ${error.message}` }
  return { code: 'internal', detail: bugDetail }
}

/**
 * Problem details (RFC 9457) of whatever was thrown. An error of the catalogue keeps its sentence and remedy, one of the
 * HTTP layer gets ours; everything else is a bug: code `internal`, and nothing of its text or stack goes out.
 */
export function problemOf(error: unknown, options: { instance?: string } = {}): Problem {
  const { code, detail, remedy } = explain(error)
  const kind = problemKind(code)
  return {
    type: routes.problem.path.replace(':code', code),
    ...kind,
    detail,
    remedy: remedy ?? kind.remedy,
    ...(options.instance === undefined ? {} : { instance: options.instance }),
    ...(error instanceof InvalidRequest ? { errors: [...error.parts] } : {}),
  }
}
