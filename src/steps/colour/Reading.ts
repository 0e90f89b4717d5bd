import { z } from 'zod'
import { reuseSchema, sessionSchema } from '../session.js'
import { RUNGS } from './fit/Fit.js'
import { TONES } from './fit/fitTone.js'

const triple = z.tuple([z.number(), z.number(), z.number()])

/** What the step measured of one patch. Errors in CIEDE2000. */
const patch = z.object({
  name: z.string(),
  referenceLabD50: triple,
  /** Linear, working space, as captured, in the light at the chart's middle. */
  measured: triple,
  measuredLabD50: triple,
  afterLabD50: triple,
  before: z.number(),
  after: z.number(),
  /** Null where the patch took no part in the fit (clipped). */
  leftOut: z.number().nullable(),
  noisePercent: z.number(),
  clippedPercent: z.number(),
})

const channelTone = z.object({ flare: z.number().lt(1), bend: z.tuple([z.number(), z.number()]) })

/** See fit/Fit.ts. */
const fit = z.object({
  rung: z.enum(RUNGS),
  channels: z.array(z.number()).length(9),
  tone: z.tuple([channelTone, channelTone, channelTone]),
  coefficients: z.array(z.number()),
  field: z.object({ size: z.int().min(2), nodes: z.array(z.number()) }).optional(),
})

/** A reading with a chart. Plain JSON. */
export const chartReading = z.object({
  kind: z.literal('chart'),
  format: z.literal(2),
  chart: z.object({
    label: z.string(),
    widthPx: z.number(),
    heightPx: z.number(),
    /** What kind of chart, in words, and its grid. */
    title: z.string(),
    columns: z.number(),
    rows: z.number(),
    /** From chart coordinates (patch centres at whole numbers) to picture pixels, row-major 3x3. */
    toPicture: z.array(z.number()).length(9),
    patchShare: z.number(),
    /** How it was found, and how sure: 0..1. */
    foundBy: z.enum(['search', 'corners']),
    confidence: z.number(),
    /** Largest change of the light across the patches, percent. */
    unevenPercent: z.number(),
  }),
  reference: z.object({ name: z.string(), description: z.string(), source: z.string() }),
  fit,
  /** Every rung tried: mean error after the fit and left out. */
  tried: z.array(z.object({ rung: z.enum(RUNGS), after: z.number(), leftOut: z.number() })),
  tone: z.enum(TONES),
  /** Index of the patch that is met exactly. */
  anchor: z.number(),
  /** Indices of the greys, lightest first. */
  greys: z.array(z.number()),
  patches: z.array(patch).min(3),
  statements: z.array(z.string()),
  warnings: z.array(z.string()),
  /** The chart as found, for the report: see snapshot.ts. */
  snapshot: z.object({
    width: z.number(),
    height: z.number(),
    lightness: z.string(),
    colour: z.string(),
    outlines: z.array(z.array(z.tuple([z.number(), z.number()]))),
  }),
  /** How the captures are brought to the chart's exposure: a gain a capture. */
  exposure: z
    .object({
      by: z.enum(['metadata', 'paper', 'assumed']),
      gains: z.array(z.number()),
      statement: z.string(),
      warnings: z.array(z.string()),
    })
    .optional(),
  /** How the chart was captured, for ties in later runs. */
  conditions: z.record(z.string(), z.unknown()).optional(),
  session: sessionSchema.optional(),
  /** True where the reading was taken in an earlier run. */
  reused: z.boolean().optional(),
  reuse: reuseSchema.optional(),
})

export type ChartReading = z.output<typeof chartReading>

/** Without a chart the profiles alone stand. */
const noChart = z.object({ kind: z.literal('no-chart') })

export const reading = z.discriminatedUnion('kind', [chartReading, noChart])
export type Reading = z.output<typeof reading>
