import { z } from 'zod'
import { SPACE_NAMES } from '../../colour/spaces/SpaceName.js'
import { length, path, ppi, toMm } from '../../units.js'

/** A side of the original sheet: a length on paper, above nothing. Resolves to millimetres. */
function sheetSide() {
  return length()
    .refine(({ unit }) => unit !== 'px', { error: 'a sheet is measured in mm, cm or in, not in px' })
    .refine(({ value }) => value > 0, { error: 'a sheet has a size above 0' })
    .transform((side) => toMm(side))
    .optional()
}

const capture = z.strictObject({
  file: path().describe('Path or glob of the captures, from the pipeline file.'),
  turned: z
    .literal([0, 90, 180, 270])
    .default(0)
    .describe('Degrees the sheet lay turned, clockwise, under the same lamp.'),
})

const captures = z.strictObject({
  kind: z
    .enum(['flatbed', 'camera'])
    .default('flatbed')
    .describe('What captured the sheet: a flatbed in tiles, or a camera in frames.'),
  files: z
    .array(z.union([path(), capture]))
    .min(1)
    .describe('Paths, globs such as captures/tile-*.tif, or objects { file, turned }.'),
  ppi: ppi().optional().describe('Pixels per inch at capture; only where the files do not carry it.'),
  profile: z
    .union([z.literal('none'), path()])
    .optional()
    .describe('An ICC profile, only where none is embedded; none = the numbers are linear light.'),
  size: z
    .strictObject({ width: sheetSide(), height: sheetSide() })
    .optional()
    .describe("The sheet's real width or height, where known: fixes the scale."),
})

/** A pipeline file with its steps and outputs left open: their registries describe these. */
export const headSchema = z.strictObject({
  pipeline: z.literal(1).default(1).describe('The format of this file.'),
  title: z.string().min(1).optional().describe("The work's title; the file's name where left out."),
  credit: z
    .strictObject({
      creator: z.string().default('').describe('Who made the original.'),
      rights: z.string().default('').describe('Copyright and licence.'),
      contact: z.string().default('').describe('An address for questions.'),
      description: z.string().optional().describe('What the work shows, and how it was made.'),
    })
    .prefault({})
    .describe("Written to the outputs' metadata."),
  extends: z
    .string()
    .optional()
    .describe(
      'Another pipeline file to build on, or the name of a ready-made one: keys merge, lists replace.',
    ),
  captures: captures.describe('What was captured. Never written to.'),
  steps: z.unknown().optional(),
  master: z
    .strictObject({
      space: z
        .enum([...SPACE_NAMES, 'auto'])
        .default('auto')
        .describe('Colour space of the master; auto = the smallest standard space that holds the picture.'),
      depth: z.literal(16).default(16).describe('Bits a channel.'),
      file: z
        .string()
        .regex(/^[^\\/:*?"<>|]+\.tiff?$/i, { error: 'expected a plain file name that ends in .tif' })
        .default('master.tif')
        .describe('Name inside the output folder.'),
    })
    .prefault({})
    .describe('The corrected picture at full resolution.'),
  outputs: z.unknown().optional(),
  report: z
    .union([z.boolean(), z.strictObject({})])
    .default(true)
    .describe('The report, report/index.html; false leaves it out.'),
})
