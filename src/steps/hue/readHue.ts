import { deltaE2000 } from '../../colour/deltaE2000.js'
import { xyzD50ToLab } from '../../colour/lab.js'
import { apply3, type Vector3 } from '../../colour/matrix3.js'
import { workingToOklab } from '../../colour/oklch.js'
import { WORKING_TO_XYZ_D50 } from '../../colour/working.js'
import type { Rect } from '../../raster/Rect.js'
import type { Source } from '../../raster/Source.js'
import type { Tile } from '../../raster/Tile.js'
import type { ReadContext } from '../contract.js'
import type { Entry, Params } from './params.js'
import { middleDegrees, rules } from './rules.js'
import { shiftPlanes } from './shiftPlanes.js'
import { weight } from './weight.js'

/** What the step found of each entry in the places it looked at. */
export interface Reading {
  sampledPixels: number
  entries: {
    /** As the pipeline names it. */
    around: string
    middleDegrees: number
    /** Share of the sampled pixels the entry takes hold of, 0..1. */
    share: number
    /** How far those change by this entry alone, in CIEDE2000. */
    meanDeltaE: number
    maxDeltaE: number
  }[]
}

const PLACE_PX = 128
const PLACES = 6
/** Weight from which a pixel counts as touched. */
const TOUCHED = 0.01

/** Measures on places spread evenly over the picture how much each entry will touch. */
export async function readHue(source: Source, params: Params, context: ReadContext): Promise<Reading> {
  const tiles = params.length ? await context.regions(0, places(source)) : []
  context.checkCancelled()
  const entries = params.map((entry, i) => {
    context.progress(i / params.length)
    return { ...named(entry), ...touched(tiles, entry) }
  })
  return { sampledPixels: tiles.reduce((sum, { planes }) => sum + planes[0].length, 0), entries }
}

const named = (entry: Entry) => ({
  around: typeof entry.around === 'number' ? `${entry.around} degrees` : entry.around,
  middleDegrees: middleDegrees(entry),
})

function places({ width, height }: Source): Rect[] {
  const size = { width: Math.min(PLACE_PX, width), height: Math.min(PLACE_PX, height) }
  // As many as there are, or as fit without overlapping.
  const starts = (length: number, side: number) => {
    const count = Math.min(PLACES, Math.floor(length / side))
    const gap = (length - side) / Math.max(1, count - 1)
    return Array.from({ length: count }, (_, i) => Math.round(i * gap))
  }
  return starts(height, size.height).flatMap((y) => starts(width, size.width).map((x) => ({ x, y, ...size })))
}

function touched(tiles: readonly Tile[], entry: Entry) {
  // An entry that changes nothing still has a hue that it looks at.
  const [aim] = rules([{ ...entry, shift: 1 }])
  const own = rules([entry])
  let pixels = 0
  let count = 0
  let sum = 0
  let maxDeltaE = 0
  for (const { planes } of tiles) {
    const after = planes.map((plane) => plane.slice()) as Tile['planes']
    shiftPlanes(after, own)
    pixels += planes[0].length
    for (let i = 0; i < planes[0].length; i++) {
      const working: Vector3 = [planes[0][i], planes[1][i], planes[2][i]]
      const [, a, b] = workingToOklab(working)
      if (weight(aim, a, b, Math.hypot(a, b)) < TOUCHED) continue
      const difference = deltaE2000(labOf(working), labOf([after[0][i], after[1][i], after[2][i]]))
      count++
      sum += difference
      maxDeltaE = Math.max(maxDeltaE, difference)
    }
  }
  return { share: pixels ? count / pixels : 0, meanDeltaE: count ? sum / count : 0, maxDeltaE }
}

const labOf = (working: Vector3) => xyzD50ToLab(apply3(WORKING_TO_XYZ_D50, working))
