import { z } from 'zod'
import { length } from '../../units.js'
import { outputName, pictureParams } from '../shared/params.js'
import { sheetName } from '../sheets/parseSheet.js'
import { CARD_FORMATS } from './formats.js'

export const cardParams = z
  .strictObject({
    name: outputName('card'),
    format: z
      .enum(CARD_FORMATS.map(({ name }) => name) as [string, ...string[]])
      .default('a6-folded')
      .describe('Size of the folded card.'),
    orientation: z
      .enum(['auto', 'portrait', 'landscape', 'tent'])
      .default('auto')
      .describe(
        'Portrait folds at the left, landscape on top; auto follows the picture; tent folds on top, stands, and shows the picture on both sides.',
      ),
    image: z
      .enum(['fill', 'fit'])
      .default('fill')
      .describe('Fill the front to its edges, or fit the whole picture inside a border.'),
    border: length()
      .default({ value: 10, unit: 'mm' })
      .describe('White border of the front with image: fit.'),
    bleed: length()
      .default({ value: 3, unit: 'mm' })
      .describe('Picture printed beyond the trim, so that no white shows when the cut is not exact.'),
    'bleed-beyond': z
      .enum(['mirrored', 'paper'])
      .default('mirrored')
      .describe(
        'What bleeds where there is no more picture: the picture mirrored at its edge, or the bare paper.',
      ),
    sheet: sheetName().default('A4').describe('Print sheet, by name or size.'),
    margin: length()
      .default({ value: 3, unit: 'mm' })
      .describe('Edge of the sheet that the printer cannot print on.'),
    up: z
      .number()
      .int()
      .min(1)
      .max(1000)
      .optional()
      .describe('Cards on a sheet; as many as it holds where left out.'),
    back: z.string().default('').describe('A line of text on the back; more lines with line breaks.'),
    inside: z
      .union([z.literal('blank'), z.strictObject({ line: z.string().min(1) })], {
        error: 'expected blank or { line: "text" }',
      })
      .default('blank')
      .describe('Blank, or a line of text.'),
    viewing: length().default({ value: 300, unit: 'mm' }).describe('Distance it is looked at from.'),
    ...pictureParams(),
  })
  .superRefine(({ orientation, back }, { addIssue }) => {
    if (orientation === 'tent' && back.trim() !== '') {
      const message = 'a tent shows the picture on both sides; leave back out, or choose landscape'
      addIssue({ code: 'custom', path: ['back'], message })
    }
  })

export type CardParams = z.output<typeof cardParams>
