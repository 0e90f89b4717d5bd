import { z } from 'zod'

export const paramsSchema = z.strictObject({
  'allow-missing': z
    .boolean({ error: 'expected true or false' })
    .default(false)
    .describe('go on without a capture that finds no place, with a warning'),
  combine: z
    .enum(['auto', 'never'], { error: 'expected auto or never' })
    .default('auto')
    .describe('combine turned captures of one place, so that relief cancels'),
})

export type Params = z.output<typeof paramsSchema>
