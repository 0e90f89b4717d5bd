import { z } from 'zod'
import { percent } from '../../units.js'
import { HUE_NAMES } from './namedHues.js'

const AROUND = `expected a hue in degrees from 0 to 360, or one of ${HUE_NAMES.join(', ')}`
const between = (what: string, from: number, to: number) => {
  const error = `expected ${what} from ${from} to ${to}`
  return z.number({ error }).min(from, { error }).max(to, { error })
}

const entry = z.strictObject({
  around: z
    .union([z.enum(HUE_NAMES), z.number().min(0, { error: AROUND }).max(360, { error: AROUND })], {
      error: AROUND,
    })
    .describe('The hue that is shifted most: a name, or an Oklch hue angle in degrees.'),
  width: between('degrees', 1, 360)
    .default(60)
    .describe('How many degrees of hue are touched in all; the effect fades to nothing at both ends.'),
  shift: between('degrees', -180, 180)
    .default(0)
    .describe('Degrees the hue turns at the middle; from red towards yellow is positive.'),
  chroma: percent()
    .refine((factor) => factor >= 0 && factor <= 3, { error: 'expected a percentage from 0% to 300%' })
    .prefault('100%')
    .describe('Chroma at the middle in per cent of what it was.'),
  lightness: between('a number', -50, 50)
    .default(0)
    .describe('What is added to the lightness at the middle; black is 0 and white 100 (Oklab).'),
})

export const paramsSchema = z.array(entry).default([])

export type Params = z.output<typeof paramsSchema>
export type Entry = z.output<typeof entry>
