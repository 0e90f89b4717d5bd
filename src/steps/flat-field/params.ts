import { z } from 'zod'
import { path, percent } from '../../units.js'

const paths = (words: string) =>
  z
    .union([path(), z.array(path()).min(1, { error: words })], { error: words })
    .transform((one) => (typeof one === 'string' ? [one] : one))
    .optional()

export const params = z
  .strictObject({
    board: paths('expected a path, or a list of paths').describe(
      "Capture of an even white or grey board under the same lamp, in the same place; or several, the board moved in between. Without one the sheet's own blank paper is used.",
    ),
    dark: paths('expected a path, or a list of paths').describe(
      'Capture without light (lens covered), at the exposure of the others; or several.',
    ),
    'black-level': percent()
      .refine((share) => share >= 0 && share < 0.5, { error: 'expected a percentage from 0% to below 50%' })
      .default(0)
      .describe('What the device gives without light, percent of full scale; taken off before dividing.'),
    reading: path()
      .optional()
      .describe('A reading of an earlier run to use again: its run.json or the reading alone.'),
    'trust-reading': z
      .boolean()
      .default(false)
      .describe('Use the saved reading though light, exposure, device or profile differ.'),
  })
  .refine((given) => !(given.dark && given['black-level'] > 0), {
    error: '`dark` and `black-level` say the same thing twice; keep one of them',
  })

export type Params = z.output<typeof params>
