import { apply3, type Matrix3 } from '../../colour/matrix3.js'
import type { Rect } from '../../raster/Rect.js'
import type { Source } from '../../raster/Source.js'
import { type Homography, invertHomography, mapPoint, type Point } from './find/homography.js'
import type { Triple } from './fit/Fit.js'

/** What a patch measures. */
export interface PatchSample {
  /** Trimmed mean, linear, working space. */
  linear: Triple
  /** Standard deviation of the green channel over its mean, percent. */
  noisePercent: number
  /** Share of the area at the upper end of the scale, percent, in the device's channel that is worst. */
  clippedPercent: number
  /** Share of the area without any light, percent, likewise. */
  emptyPercent: number
  /** The device's channels of which more than a little is at either end: `red`, `green`, `blue`. */
  clippedChannels: string[]
  emptyChannels: string[]
  /** How the light changes over one patch distance to the right and down the chart, as a share. */
  slope: [right: number, down: number]
  pixels: number
}

/** Share of a patch's side that is read; the rest is margin against edges, their blur and small errors of place. */
export const READ_SHARE = 0.6

/** Share of the values dropped at either end before the mean: dust, scratches, single bright pixels. */
const TRIM = 0.1

/** More samples than this say nothing new of an even patch. */
const MAX_SAMPLES = 40_000

/** A device's numbers this close to 1 count as the end of the scale; so small as the other end. */
const FULL_SCALE = 0.998
const NO_LIGHT = 1e-5

/** More of a patch at an end of the scale than this, percent, and its mean means nothing. */
export const CLIPPED_PERCENT = 2

const CHANNELS = ['red', 'green', 'blue']

/** The four corners, in picture pixels, of what is read of the patch at chart coordinates (column, row). */
export function readCorners(toPicture: Homography, patchShare: number, column: number, row: number): Point[] {
  const h = (patchShare * READ_SHARE) / 2
  return [
    [-h, -h],
    [h, -h],
    [h, h],
    [-h, h],
  ].map(([du, dv]) => mapPoint(toPicture, [column + du, row + dv]))
}

/**
 * Reads one patch: the inner part of its area at full resolution.
 * @param toPicture from chart coordinates (patch centres at whole numbers) to picture pixels
 * @param patchShare a patch's side as a share of the distance between patch centres
 * @param toDevice row-major 3x3, from the working space to the device's own channels
 * @returns undefined where the patch leaves the picture or holds no whole pixel
 */
export function samplePatch(
  source: Source,
  toPicture: Homography,
  patchShare: number,
  [column, row]: readonly [number, number],
  toDevice: Matrix3,
): PatchSample | undefined {
  const rect = boundsOf(readCorners(toPicture, patchShare, column, row))
  if (
    rect.x < 0 ||
    rect.y < 0 ||
    rect.x + rect.width > source.width ||
    rect.y + rect.height > source.height
  ) {
    return undefined
  }
  const { planes } = source.region(rect)
  const toChart = invertHomography(toPicture)
  const reach = (patchShare * READ_SHARE) / 2
  const stride = Math.max(1, Math.floor(Math.sqrt((rect.width * rect.height) / MAX_SAMPLES)))
  const values: [number[], number[], number[]] = [[], [], []]
  const places: Point[] = []
  const clipped = [0, 0, 0]
  const empty = [0, 0, 0]
  for (let y = 0; y < rect.height; y += stride) {
    for (let x = 0; x < rect.width; x += stride) {
      const [u, v] = mapPoint(toChart, [rect.x + x + 0.5, rect.y + y + 0.5])
      if (Math.abs(u - column) > reach || Math.abs(v - row) > reach) continue
      const p = y * rect.width + x
      planes.forEach((plane, c) => {
        values[c].push(plane[p])
      })
      apply3(toDevice, [planes[0][p], planes[1][p], planes[2][p]]).forEach((v, c) => {
        if (v >= FULL_SCALE) clipped[c]++
        else if (v <= NO_LIGHT) empty[c]++
      })
      places.push([u - column, v - row])
    }
  }
  const pixels = places.length
  if (pixels === 0) return undefined
  const green = values[1]
  const mean = green.reduce((sum, v) => sum + v, 0) / pixels
  const slope = slopeOf(places, green, mean)
  const spread = green.reduce((sum, v) => sum + (v - mean) ** 2, 0) / pixels
  return {
    linear: values.map(trimmedMean) as Triple,
    noisePercent: mean > 0 ? (100 * Math.sqrt(spread)) / mean : 0,
    clippedPercent: (100 * Math.max(...clipped)) / pixels,
    emptyPercent: (100 * Math.max(...empty)) / pixels,
    clippedChannels: over(clipped, pixels),
    emptyChannels: over(empty, pixels),
    slope,
    pixels,
  }
}

const over = (counts: readonly number[], pixels: number) =>
  CHANNELS.filter((_, c) => (100 * counts[c]) / pixels > CLIPPED_PERCENT)

function boundsOf(corners: readonly Point[]): Rect {
  const xs = corners.map(([x]) => x)
  const ys = corners.map(([, y]) => y)
  const x = Math.floor(Math.min(...xs))
  const y = Math.floor(Math.min(...ys))
  return { x, y, width: Math.ceil(Math.max(...xs)) - x, height: Math.ceil(Math.max(...ys)) - y }
}

function trimmedMean(values: readonly number[]): number {
  const sorted = Float64Array.from(values).sort()
  const cut = Math.floor(sorted.length * TRIM)
  const kept = sorted.subarray(cut, sorted.length - cut)
  return kept.reduce((sum, v) => sum + v, 0) / kept.length
}

/** Relative change of the light along the chart's two directions: straight lines of best fit, one a direction. */
function slopeOf(places: readonly Point[], values: readonly number[], mean: number): [number, number] {
  let [uu, vv, uz, vz] = [0, 0, 0, 0]
  places.forEach(([u, v], k) => {
    uu += u * u
    vv += v * v
    uz += u * (values[k] - mean)
    vz += v * (values[k] - mean)
  })
  return mean > 0 ? [uz / (uu * mean || 1), vz / (vv * mean || 1)] : [0, 0]
}
