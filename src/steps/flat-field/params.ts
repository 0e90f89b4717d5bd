import { z } from 'zod'
import { path, percent } from '../../units.js'

export const params = z
  .strictObject({
    board: path()
      .optional()
      .describe('Capture of an even white or grey board under the same lamp, in the same place.'),
    'black-level': percent()
      .refine((share) => share >= 0 && share < 0.5, { error: 'expected a percentage from 0% to below 50%' })
      .default(0)
      .describe('What the device gives without light, percent of full scale; taken off before dividing.'),
    reading: path()
      .optional()
      .describe('A reading of an earlier run to use again: its run.json or the reading alone.'),
  })
  .refine(({ board, reading }) => board !== undefined || reading !== undefined, {
    error: 'flat-field needs `board:`, the capture of a blank board, or `reading:`',
  })

export type Params = z.output<typeof params>
