import { z } from 'zod'
import { SPACE_NAMES } from '../../colour/spaces/SpaceName.js'
import { type Length, length, percent, ppi } from '../../units.js'

export const ANCHORS = [
  'centre',
  'top',
  'bottom',
  'left',
  'right',
  'top-left',
  'top-right',
  'bottom-left',
  'bottom-right',
] as const
export type Anchor = (typeof ANCHORS)[number]

const FILE_NAME = /^(?![.\s])[^\\/:*?"<>|\p{Cc}]*[^\\/:*?"<>|\p{Cc}. ]$/u

/** The file's stem: no folder in it, so that it cannot leave the output folder. */
export function outputName(standard: string) {
  return z
    .string()
    .max(100)
    .regex(FILE_NAME, { error: 'expected a name without a folder and without \\ / : * ? " < > |' })
    .default(standard)
    .describe('Name of the output, and of its file.')
}

/**
 * The same for all outputs, so that they look equally sharp, each from where it is looked at. What a card read in the hand
 * can have within 10 % of overshoot, and within 3 % of what prints seen from their usual distance have by themselves.
 */
export const TARGET_ACUTANCE = 0.93

/** A length on the original, or a share of its side. */
function along() {
  return z.union([length(), percent()], {
    error: 'expected a length with its unit, such as 15mm, or a percentage with its sign, such as 20%',
  })
}

export type Focus = Record<'left' | 'top' | 'width' | 'height', Length | number>

/** What every output made from the master has. */
export function pictureParams() {
  return {
    ppi: ppi().default(300).describe('Pixels an inch of the file.'),
    space: z.enum(SPACE_NAMES).optional().describe("Colour space; the master's where left out."),
    focus: z
      .strictObject({ left: along(), top: along(), width: along(), height: along() })
      .optional()
      .describe(
        'What must be kept where `fill` cuts the picture, in its middle if possible: lengths on the original or percentages.',
      ),
    anchor: z.enum(ANCHORS).default('centre').describe('What is kept of the picture where `fill` cuts it.'),
    sharpening: z
      .union([
        z.literal('none'),
        z.strictObject({
          target: z
            .number()
            .min(0.5)
            .max(1)
            .default(TARGET_ACUTANCE)
            .describe('Acutance as seen from the viewing distance; 1 is everything the eye could see.'),
        }),
      ])
      .default({ target: TARGET_ACUTANCE })
      .describe('Sharpness as seen on paper: none, or a target acutance.'),
    'ink-spread': length()
      .default({ value: 0.03, unit: 'mm' })
      .describe("How far the printer's ink spreads, as the standard deviation of a Gaussian."),
    media: z.string().default('').describe('Paper, side and media setting, for the job ticket.'),
  }
}

/** The acutance asked for, or null where sharpening is switched off. */
export function targetOf(sharpening: 'none' | { target: number }): number | null {
  return sharpening === 'none' ? null : sharpening.target
}
