import { z } from 'zod'
import { type Length, length, path } from '../../units.js'
import { bleedBeyond } from '../shared/bleed.js'
import { outputName, pictureParams } from '../shared/params.js'
import { sheetName } from '../sheets/parseSheet.js'
import { CARD_FORMATS, FREE_FORMAT } from './formats.js'

const FORMAT_NAMES = CARD_FORMATS.map(({ name }) => name) as [string, ...string[]]
const FORMAT_WORDS = `expected ${FORMAT_NAMES.join(', ')}, or a size such as 120x170mm-folded or 120x170mm-flat`

const MARK_HEIGHT: Length = { value: 8, unit: 'mm' }

export const cardParams = z
  .strictObject({
    name: outputName('card'),
    format: z
      .union([z.enum(FORMAT_NAMES), z.string().regex(FREE_FORMAT, { error: FORMAT_WORDS })], {
        error: FORMAT_WORDS,
      })
      .default('a6-folded')
      .describe('Size of the card once made, folded or flat: by name, or free such as 120x170mm-folded.'),
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
      .optional()
      .describe(
        'Picture printed beyond the trim, so that no white shows when the cut is not exact; 3mm where left out. With image: fit nothing bleeds.',
      ),
    'bleed-beyond': bleedBeyond(),
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
    mark: z
      .union([
        path().transform((file) => ({ file, height: MARK_HEIGHT })),
        z.strictObject({
          file: path().describe('A TIFF, PNG or JPEG; see-through parts show the paper.'),
          height: length().default(MARK_HEIGHT).describe('Its height on paper.'),
        }),
      ])
      .optional()
      .describe('A small picture on the back, in the middle above the line: a path, or { file, height }.'),
    inside: z
      .union([z.literal('blank'), z.strictObject({ line: z.string().min(1) })], {
        error: 'expected blank or { line: "text" }',
      })
      .default('blank')
      .describe('Blank, or a line of text.'),
    quality: z
      .number()
      .int()
      .min(1)
      .max(100)
      .optional()
      .describe('Pictures packed as JPEG of this quality; lossless where left out.'),
    viewing: length().default({ value: 300, unit: 'mm' }).describe('Distance it is looked at from.'),
    ...pictureParams(),
  })
  .superRefine((params, { addIssue }) => {
    const refuse = (key: string, message: string) => addIssue({ code: 'custom', path: [key], message })
    const { orientation, format, image, bleed } = params
    const flat = /-flat$/i.test(format)
    for (const key of ['back', 'mark'] as const) {
      if (orientation === 'tent' && (key === 'mark' ? params.mark : params.back.trim()))
        refuse(key, `a tent shows the picture on both sides; leave ${key} out, or choose landscape`)
    }
    if (orientation === 'tent' && flat)
      refuse('orientation', 'a flat card does not stand; choose a folded one')
    if (flat && params.inside !== 'blank') refuse('inside', 'a flat card has no inside; use back')
    if (image === 'fit' && bleed && bleed.value > 0)
      refuse(
        'bleed',
        'with image: fit no picture reaches the trim, so nothing can bleed; leave it out, or fill',
      )
  })

export type CardParams = z.output<typeof cardParams>
