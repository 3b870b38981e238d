import { sweepPart, TestRunFields, uploadLimits } from '@boardwright/core/contract'
import { z } from 'zod'

const waveFile = (description: string) => ({ type: 'string', contentMediaType: 'audio/wav', description })
const waveEncoding = { contentType: 'audio/wav, audio/x-wav, application/octet-stream' }

/** The multipart body of POST /api/test-runs as an OpenAPI 3.1 request body. */
export function testRunUploadBody(): object {
  const { properties, required } = z.toJSONSchema(TestRunFields, { io: 'input' })
  const megabytes = uploadLimits.bytesPerFile / 1e6
  const schema = {
    type: 'object',
    required,
    properties: {
      ...properties,
      'setting.max': waveFile('Recording with all tone controls at maximum'),
      'setting.min': waveFile('Recording with all tone controls at minimum'),
      [sweepPart]: waveFile("The sweep that was played, when it was not the test plan's"),
    },
    patternProperties: {
      '^setting\\.[a-z][a-z0-9-]*$': waveFile(`Recording at the setting of this name, at most ${megabytes} MB`),
    },
    additionalProperties: false,
  }
  const encoding = { 'setting.max': waveEncoding, 'setting.min': waveEncoding, [sweepPart]: waveEncoding }
  return {
    required: true,
    description: 'One file part for each setting of the test plan, named `setting.` and the name of the setting.',
    content: { 'multipart/form-data': { schema, encoding } },
  }
}
