import { z } from 'zod'
import { RequestError } from '../../errors.js'
import type { ReliefReading } from './Reading.js'

const finite = z.number()
const schema = z.object({
  textured: z.boolean(),
  basis: z.enum(['blank', 'regions', 'washes', 'reading']),
  windowsSampled: finite,
  windowsUsed: finite,
  blankShare: finite,
  reliefRmsPercent: finite,
  periodPx: finite,
  directionDeg: finite,
  isotropy: finite,
  tint: z.tuple([finite, finite]),
  residualDb: finite,
  ppi: finite.optional(),
  window: z.literal(64),
  spectrum: z.array(finite.min(0)).length(64 * 33),
  warnings: z.array(z.string()),
})

/**
 * A reading from text: the reading itself, or a run record that holds one.
 * @param text JSON
 * @param where the file, for messages
 * @throws RequestError where it is neither
 */
export function savedReading(text: string, where: string): ReliefReading {
  let value: unknown
  try {
    value = JSON.parse(text)
  } catch (cause) {
    throw new RequestError({ where, what: 'the saved reading is not JSON' }, { cause })
  }
  const record = value as { readings?: Record<string, unknown>; 'paper-texture'?: unknown } | null
  const own = record?.readings?.['paper-texture'] ?? record?.['paper-texture'] ?? value
  const result = schema.safeParse(own)
  if (result.success) return result.data
  const [issue] = result.error.issues
  throw new RequestError({
    where,
    what: 'the file holds no reading of paper-texture',
    expected: 'a reading saved by this tool, or a run.json with one',
    found: `${issue.path.join('.') || 'the file'}: ${issue.message}`,
  })
}
