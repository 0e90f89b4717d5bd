import type { ZodType } from 'zod'
import { RequestError } from '../errors.js'

/**
 * A reading saved earlier: a run record that holds one of this step, or the reading alone.
 * @param text JSON
 * @param path of the text, for messages
 * @param step the step's name, the key in a run record's `readings`
 * @throws RequestError where the text is no JSON or holds no reading of this step
 */
export function savedReading<T>(text: string, path: string, step: string, schema: ZodType<T>): T {
  let json: unknown
  try {
    json = JSON.parse(text)
  } catch (cause) {
    throw new RequestError(
      {
        where: path,
        what: 'the saved reading is no JSON',
        todo: 'Name a run.json or a reading taken from one',
      },
      { cause },
    )
  }
  const readings = (json as { readings?: Record<string, unknown> } | null)?.readings
  const result = schema.safeParse(readings ? readings[step] : json)
  if (result.success) return result.data
  const [issue] = result.error.issues
  throw new RequestError({
    where: path,
    what: `the file holds no reading of ${step} that can be used again`,
    found: `${issue.path.join('.') || 'the whole'}: ${issue.message}`,
    todo: `Name the run.json of a run that had ${step} among its steps`,
  })
}
