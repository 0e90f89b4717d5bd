import { z } from 'zod'

const perChannel = z.tuple([z.array(z.number()), z.array(z.number()), z.array(z.number())])

/** The lamp field of a board and what it says of the lamp. Plain JSON. */
export const reading = z.object({
  format: z.literal(1),
  board: z.string(),
  widthPx: z.number(),
  heightPx: z.number(),
  /** Taken off captures and board before dividing, share of full scale. */
  blackLevel: z.number(),
  /** Nodes of the gain grid, from edge to edge of the picture. */
  columns: z.number().int().min(4),
  rows: z.number().int().min(4),
  /** Gain of each node by channel (working space), row by row. */
  gains: perChannel,
  /** (largest - smallest) / mean of the lamp field, percent. */
  unevenPercent: z.object({ red: z.number(), green: z.number(), blue: z.number(), luminance: z.number() }),
  /** Light lost at the corners against the brightest place: top left, top right, bottom right, bottom left; percent. */
  cornerLossPercent: z.tuple([z.number(), z.number(), z.number(), z.number()]),
  /** What is left uneven of the board itself once corrected, percent, luminance. */
  remainingPercent: z.number(),
  /** Share of the board that does not follow the smooth field: dust, marks; percent. */
  marksPercent: z.number(),
  warnings: z.array(z.string()),
  reused: z.boolean().optional(),
})

export type Reading = z.output<typeof reading>
