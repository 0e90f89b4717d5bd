import { z } from 'zod'
import { path } from '../../units.js'
import { blankSchema } from '../blankRegions.js'

export const paramsSchema = z.strictObject({
  strength: z
    .number({ error: 'expected the share of the relief to take away, 0 to 1' })
    .min(0, { error: 'expected the share of the relief to take away, 0 to 1' })
    .max(1, { error: 'expected the share of the relief to take away, 0 to 1' })
    .default(1)
    .describe('share of the relief’s power taken away, 0 to 1'),
  detail: z
    .number({ error: 'expected a number from 0 to 1' })
    .min(0, { error: 'expected a number from 0 to 1' })
    .max(1, { error: 'expected a number from 0 to 1' })
    .default(0.5)
    .describe('which way to err, 0 to 1: 0 leaves no relief, 1 loses no line'),
  'keep-granulation': z
    .number({ error: 'expected a share, 0 to 1' })
    .min(0, { error: 'expected a share, 0 to 1' })
    .max(1, { error: 'expected a share, 0 to 1' })
    .default(0)
    .describe('share of all fine grain left alone where paint lies, 0 to 1, be it pigment or paper'),
  blank: blankSchema,
  reading: path().optional().describe('a reading saved from another sheet of the same paper'),
})

export type Params = z.output<typeof paramsSchema>
