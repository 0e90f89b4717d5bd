import { z } from 'zod'
import { blankSchema } from '../blankRegions.js'

export const paramsSchema = z.strictObject({
  blank: blankSchema,
})

export type Params = z.output<typeof paramsSchema>
