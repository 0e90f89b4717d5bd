import { z } from 'zod'

const finite = z.number()
const noisePower = z.array(finite.min(0)).length(16 * 9)
/** Shape of a reading that was saved. */
export const readingSchema = z.object({
  textured: z.boolean(),
  pattern: z.boolean().optional(),
  basis: z.enum(['blank', 'regions', 'washes', 'reading', 'earlier step']),
  windowsSampled: finite,
  windowsUsed: finite,
  blankShare: finite,
  reliefRmsPercent: finite,
  periodPx: finite,
  directionDeg: finite,
  isotropy: finite,
  tint: z.tuple([finite, finite]),
  noise: z.object({ red: noisePower, blue: noisePower }).optional(),
  paper: z.object({ light: finite, red: finite, blue: finite }).optional(),
  residualDb: finite,
  leakPercent: finite.optional(),
  ppi: finite.optional(),
  window: z.literal(64),
  spectrum: z.array(finite.min(0)).length(64 * 33),
  warnings: z.array(z.string()),
})
