import { reduce } from '../raster/reduce.js'
import type { Tile } from '../raster/Tile.js'
import { deltaE2000 } from './deltaE2000.js'
import { xyzD50ToLab } from './lab.js'
import { apply3, type Vector3 } from './matrix3.js'
import { SPACE_NAMES, type SpaceName } from './spaces/SpaceName.js'
import { space } from './spaces/space.js'
import { WORKING_TO_XYZ_D50, workingTo } from './working.js'

export interface Outside {
  /** Share of the pixels that lie outside, 0..1. */
  share: number
  /** How far those lie outside, in CIEDE2000 to the colour they are cut off to; 0 where there are none. */
  meanDeltaE: number
  maxDeltaE: number
}

/** From here on a cut-off colour counts as outside: about what is just seen side by side (common practice). */
export const SEEN_DELTA_E = 1

/** Linear light beyond the ends of the range that is not worth a colour difference. */
const TOLERANCE = 1e-4

/** What even the largest space cannot hold is a matter of exposure, and no reason to choose any space. */
const held = (value: number) => Math.min(1, Math.max(0, value))

/**
 * How much of a picture a standard space cannot hold: pixels with a channel outside 0..1 by more than 1e-4 of linear
 * light that would be seen to change (CIEDE2000 above 1) when cut off. Values outside the working space's own 0..1
 * are held at its ends first.
 */
export function outsideShare({ planes }: Tile, name: SpaceName): Outside {
  const [r, g, b] = planes
  const matrix = workingTo(name)
  const { toXyzD50 } = space(name)
  let count = 0
  let sum = 0
  let max = 0
  for (let i = 0; i < r.length; i++) {
    const working: Vector3 = [held(r[i]), held(g[i]), held(b[i])]
    const linear = apply3(matrix, working)
    if (Math.min(...linear) >= -TOLERANCE && Math.max(...linear) <= 1 + TOLERANCE) continue
    const cut = apply3(toXyzD50, linear.map(held) as Vector3)
    const difference = deltaE2000(xyzD50ToLab(apply3(WORKING_TO_XYZ_D50, working)), xyzD50ToLab(cut))
    if (difference <= SEEN_DELTA_E) continue
    count++
    sum += difference
    max = Math.max(max, difference)
  }
  return { share: r.length ? count / r.length : 0, meanDeltaE: count ? sum / count : 0, maxDeltaE: max }
}

/** A space may leave out this share of the picture. */
export const LEFT_OUT_SHARE = 1e-4

/** Side of the blocks that are averaged before judging: single pixels' noise is no colour of the picture. */
const BLOCK_PX = 4

/**
 * The smallest standard space that holds all of a picture but 0.01 % of its places.
 * @param tiles places of the picture, working linear light
 * @returns the space, a sentence that says why, and what each space leaves out
 */
export function smallestSpace(tiles: readonly Tile[]): {
  space: SpaceName
  why: string
  shares: Record<SpaceName, Outside>
} {
  const reduced = tiles.map((tile) => reduce(tile, BLOCK_PX))
  const entries = SPACE_NAMES.map((name) => [name, together(reduced, name)] as const)
  const shares = Object.fromEntries(entries) as Record<SpaceName, Outside>
  const chosen = SPACE_NAMES.find((name) => shares[name].share <= LEFT_OUT_SHARE) ?? 'ROMM RGB'
  const smaller = SPACE_NAMES[SPACE_NAMES.indexOf(chosen) - 1]
  const { share } = shares[chosen]
  const rest = share > 0 ? `all of the picture but ${percent(share)}` : 'the whole picture'
  const why = smaller
    ? `${chosen}: the smallest standard space that holds ${rest}; ${smaller} would cut off ${percent(shares[smaller].share)} of it, by up to ${shares[smaller].maxDeltaE.toFixed(1)} dE2000`
    : `${chosen}: the smallest standard space, and it holds ${rest}`
  return { space: chosen, why, shares }
}

function together(tiles: readonly Tile[], name: SpaceName): Outside {
  let pixels = 0
  let count = 0
  let sum = 0
  let maxDeltaE = 0
  for (const tile of tiles) {
    const { length } = tile.planes[0]
    const one = outsideShare(tile, name)
    pixels += length
    count += one.share * length
    sum += one.share * length * one.meanDeltaE
    maxDeltaE = Math.max(maxDeltaE, one.maxDeltaE)
  }
  return { share: pixels ? count / pixels : 0, meanDeltaE: count ? sum / count : 0, maxDeltaE }
}

const percent = (share: number) => `${Number((share * 100).toPrecision(2))} %`
