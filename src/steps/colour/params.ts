import { z } from 'zod'
import { path } from '../../units.js'
import { RUNGS } from './fit/Fit.js'

/** The built-in references by name. */
export const BUILT_IN = ['chart24-2014', 'chart24-2005'] as const

const REFERENCE_WORDS = `expected ${BUILT_IN.join(', ')}, or the path of a CGATS text file with its ending`
const CORNER_WORDS = 'expected a place in the picture: a share such as 0.25, or pixels such as 512px'

const coordinate = z.union(
  [
    z.number().min(0, { error: CORNER_WORDS }).max(1, { error: CORNER_WORDS }),
    z.string().regex(/^\d+(\.\d+)?px$/, { error: CORNER_WORDS }),
  ],
  { error: CORNER_WORDS },
)

export const params = z.strictObject({
  chart: path()
    .optional()
    .describe(
      'Capture of the chart in the same light: 24 patches, an ISO 12641-1 target, or your own (grid); without it the profiles stand.',
    ),
  reference: z
    .union([z.enum(BUILT_IN), path().refine((text) => /[./\\]/.test(text), { error: REFERENCE_WORDS })])
    .default('chart24-2014')
    .describe(
      'What the patches are in truth: a built-in edition, or a CGATS text file of your own chart or ISO 12641-1 target.',
    ),
  grid: z
    .strictObject({
      columns: z.int().min(2).max(60).describe('Patches side by side.'),
      rows: z.int().min(2).max(60).describe('Patches one below the other.'),
      letters: z
        .enum(['columns', 'rows'])
        .default('columns')
        .describe('What the letter of a patch name such as B3 counts.'),
      numbers: z
        .enum(['by-row', 'by-column'])
        .default('by-row')
        .describe('How bare patch numbers count: along the rows, or down the columns.'),
    })
    .optional()
    .describe('How a chart of your own is laid out; its reference is a CGATS text file.'),
  fit: z
    .enum(['auto', ...RUNGS])
    .default('auto')
    .describe(
      'How far the correction may go; auto takes the simplest that no other clearly beats; none only measures; smooth needs 100 patches.',
    ),
  corners: z
    .array(z.tuple([coordinate, coordinate]))
    .length(4, { error: 'expected the four outer corners of the patches, each as [x, y]' })
    .optional()
    .describe(
      'Outer corners of the corner patches, in order round the chart, where it is not found by itself.',
    ),
  exposure: z
    .enum(['auto', 'metadata', 'paper', 'same'])
    .default('auto')
    .describe(
      "What ties the painting's exposure to the chart's: what the files say, the same blank paper in both, or that they are the same; auto = the files where they say, else the same.",
    ),
  reading: path()
    .optional()
    .describe('A reading of an earlier run to use again: its run.json or the reading alone.'),
  'trust-reading': z
    .boolean()
    .default(false)
    .describe('Use the saved reading though light, exposure, device or profile differ.'),
})

export type Params = z.output<typeof params>
