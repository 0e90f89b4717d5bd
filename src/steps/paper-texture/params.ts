import { z } from 'zod'
import { length, path } from '../../units.js'

const region = z.strictObject({ left: length(), top: length(), width: length(), height: length() })

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
  blank: z
    .union([z.literal('auto'), z.array(region).min(1)], {
      error: 'expected auto, or a list of regions such as { left: 5mm, top: 5mm, width: 20mm, height: 10mm }',
    })
    .default('auto')
    .describe('where the sheet is unpainted: found by itself, or regions that are'),
  reading: path().optional().describe('a reading saved from another sheet of the same paper'),
})

export type Params = z.output<typeof paramsSchema>
