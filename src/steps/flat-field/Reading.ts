import { z } from 'zod'
import { reuseSchema, sessionSchema } from '../session.js'

const perChannel = z.tuple([z.array(z.number()), z.array(z.number()), z.array(z.number())])

/** The lamp field and what it says of the lamp. Plain JSON. */
export const reading = z.object({
  format: z.literal(1),
  /** What the light was measured on, in words: the boards' names, or the captures whose margins were used. */
  board: z.string(),
  /** `margins`: the sheet's own blank paper stood in for a board. */
  basis: z.enum(['board', 'margins']).default('board'),
  widthPx: z.number(),
  heightPx: z.number(),
  /** Taken off captures and board before dividing, share of full scale. */
  blackLevel: z.number(),
  /** Nodes of the grids, from edge to edge of the picture. */
  columns: z.number().int().min(4),
  rows: z.number().int().min(4),
  /** Gain of each node by channel (working space), row by row. */
  gains: perChannel,
  /** What the device gives without light at each node by channel, from a dark frame. */
  dark: z.object({ label: z.string(), levels: perChannel }).optional(),
  /** The board's light at its brightest place, black taken off; linear, working space. */
  brightest: z.tuple([z.number(), z.number(), z.number()]).optional(),
  /** (largest - smallest) / mean of the lamp field, percent. */
  unevenPercent: z.object({ red: z.number(), green: z.number(), blue: z.number(), luminance: z.number() }),
  /** Light lost at the corners against the brightest place: top left, top right, bottom right, bottom left; percent. */
  cornerLossPercent: z.tuple([z.number(), z.number(), z.number(), z.number()]),
  /** What is left uneven of the board (or of the blank paper) itself once corrected, percent, luminance. */
  remainingPercent: z.number(),
  /** Share of the board that does not follow the smooth field: dust, marks; percent. */
  marksPercent: z.number(),
  /** With several boards: marks on the single boards, on average; and how far the boards differ in the light they show. */
  boards: z.object({ count: z.number(), marksPercent: z.number(), differPercent: z.number() }).optional(),
  /** Where the sheet's own paper was used: what is known of how well. */
  margins: z
    .object({
      windows: z.number(),
      /** Share of the frame near which blank paper lies, percent. */
      coveredPercent: z.number(),
      /** Degree of the surface. */
      degree: z.number(),
      /** How far the light is missed where the paper of a part of the frame is left out of the fit; percent, RMS. */
      leftOutPercent: z.number(),
      /** Standard error of the field, RMS over the frame: how far it moves as parts are left out, and its shape; percent. */
      unsurePercent: z.number(),
      /** Where it was found: 0..1 from edge to edge of the frame. */
      places: z.array(z.tuple([z.number(), z.number()])),
    })
    .optional(),
  warnings: z.array(z.string()),
  session: sessionSchema.optional(),
  reused: z.boolean().optional(),
  reuse: reuseSchema.optional(),
})

export type Reading = z.output<typeof reading>
