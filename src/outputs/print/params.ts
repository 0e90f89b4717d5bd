import { z } from 'zod'
import { length, percent } from '../../units.js'
import { bleedBeyond } from '../shared/bleed.js'
import { outputName, pictureParams } from '../shared/params.js'
import { sheetName } from '../sheets/parseSheet.js'

const IMAGE_WORDS =
  'expected fit, fill, original-size, { width: 200mm }, { height: 200mm } or { enlarge: 150% }'

export const printParams = z
  .strictObject({
    name: outputName('print'),
    sheet: sheetName().optional().describe('Print sheet by name or size; it turns to suit the picture.'),
    image: z
      .union(
        [
          z.enum(['fit', 'fill', 'original-size']),
          z.strictObject({ width: length() }),
          z.strictObject({ height: length() }),
          z.strictObject({ enlarge: percent() }),
        ],
        { error: IMAGE_WORDS },
      )
      .optional()
      .describe('Size on paper. With a sheet, fit where left out; without one, original-size.'),
    border: length()
      .default({ value: 15, unit: 'mm' })
      .describe('Least white border on the sheet, all round.'),
    foot: length().optional().describe('Border at the foot, where it is to be wider than the others.'),
    bleed: length()
      .default({ value: 0, unit: 'mm' })
      .describe(
        'Picture beyond the size, on all sides, to be cut off; on a sheet only with image: fill and border: 0mm.',
      ),
    'bleed-beyond': bleedBeyond(),
    viewing: length()
      .optional()
      .describe('Distance it is looked at from; 1.5 times the diagonal where left out, at least 300mm.'),
    format: z.enum(['tif', 'jpg', 'png']).default('tif').describe('File format.'),
    depth: z
      .union([z.literal(8), z.literal(16)])
      .optional()
      .describe('Bits a channel; 16, and 8 for jpg, where left out.'),
    quality: z.number().int().min(1).max(100).default(95).describe('JPEG quality; for jpg only.'),
    'sheet-file': z
      .boolean()
      .default(false)
      .describe('Writes the whole sheet with its borders instead of the picture alone.'),
    ...pictureParams(),
  })
  .superRefine((params, { addIssue }) => {
    const refuse = (key: string, message: string) => addIssue({ code: 'custom', path: [key], message })
    const { sheet, image, border, foot, bleed } = params
    const bare = (image ?? 'fit') !== 'fill' || border.value > 0 || (foot?.value ?? 0) > 0
    if (bleed.value > 0 && sheet !== undefined && bare)
      refuse('bleed', 'no picture reaches the edge of the sheet to bleed; choose image: fill and border: 0mm')
    if (params.format === 'jpg' && params.depth === 16)
      refuse('depth', 'a JPEG has 8 bits; tif and png can have 16')
    if (sheet === undefined) {
      if (image === 'fit' || image === 'fill')
        refuse('image', `${image} needs a sheet; add one, such as sheet: A3+`)
      if (params['sheet-file'])
        refuse('sheet-file', 'a whole sheet needs a sheet; add one, such as sheet: A3+')
    }
  })

export type PrintParams = z.output<typeof printParams>
