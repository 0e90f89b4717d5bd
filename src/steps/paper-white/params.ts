import { z } from 'zod'
import { length } from '../../units.js'

const region = z.strictObject({ left: length(), top: length(), width: length(), height: length() })

export const paramsSchema = z.strictObject({
  blank: z
    .union([z.literal('auto'), z.array(region).min(1)], {
      error: 'expected auto, or a list of regions such as { left: 5mm, top: 5mm, width: 20mm, height: 10mm }',
    })
    .default('auto')
    .describe('where the sheet is unpainted: found by itself, or regions that are'),
})

export type Params = z.output<typeof paramsSchema>
