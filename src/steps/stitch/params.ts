import { z } from 'zod'

export const paramsSchema = z.strictObject({
  'allow-missing': z
    .boolean({ error: 'expected true or false' })
    .default(false)
    .describe('go on without a capture that finds no place, with a warning'),
})

export type Params = z.output<typeof paramsSchema>
