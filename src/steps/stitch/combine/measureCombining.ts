import type { ReadContext } from '../../contract.js'
import { moved, type Placement } from '../Placement.js'
import { between, overlap } from '../place/overlap.js'
import { readWindows, type WindowPlanes } from '../refine/readWindows.js'
import { sampleLight } from '../views/sampleLight.js'
import { halfExtent } from '../views/Upright.js'
import type { View } from '../views/View.js'
import type { Combining } from './Layer.js'

const WINDOW_PX = 32
/** So many of the lightest places are looked at, and this share of them kept: those that hold least but relief. */
const WINDOWS = 64
const KEPT = 0.15
const LEAST_LIGHT = 0.01

/**
 * What combining takes of the relief: variance of log light about a plane, combined against single, on the lightest and
 * flattest places of the pair that shares most. Paint that is left there counts as relief, so the true gain is not less.
 */
export async function measureCombining(
  views: readonly View[],
  placements: readonly (Placement | undefined)[],
  combining: Combining,
  context: ReadContext,
): Promise<Combining> {
  const pair = largestPair(views, placements)
  if (!pair) return combining
  const places = lightPlaces(views[pair.first], views[pair.second], pair.map)
  const windows = (await readWindows(views, pair, places, WINDOW_PX, context))
    .map(([first, second]) => powersOf(luminance(first), luminance(second)))
    .sort((p, q) => p.both - q.both)
    .slice(0, Math.ceil(KEPT * places.length))
  const sum = (key: keyof ReturnType<typeof powersOf>) =>
    windows.reduce((total, powers) => total + powers[key], 0) / windows.length
  const single = (sum('first') + sum('second')) / 2
  if (!(single > 0)) return combining
  return {
    ...combining,
    reliefRms: Math.sqrt(single),
    reliefDb: 10 * Math.log10(Math.max(sum('both'), 1e-12) / single),
    reliefCorrelation: sum('cross') / Math.sqrt(sum('first') * sum('second')),
  }
}

/** Mean squares of one window's relief in each capture and in both combined, and their mean product. */
function powersOf(a: Float64Array, b: Float64Array) {
  const mean = (plane: Float64Array) => plane.reduce((total, value) => total + value, 0) / plane.length
  const match = mean(a) / mean(b)
  const [first, second] = [relief(a), relief(b)]
  const both = relief(a.map((value, i) => (value + match * b[i]) / 2))
  const square = (plane: Float64Array) => mean(plane.map((value) => value * value))
  return {
    ...{ first: square(first), second: square(second), both: square(both) },
    cross: mean(first.map((value, i) => value * second[i])),
  }
}

/** Opposite captures before others, then the largest common area. */
function largestPair(views: readonly View[], placements: readonly (Placement | undefined)[]) {
  let best: { first: number; second: number; map: Placement } | undefined
  let most = 0
  for (let first = 0; first < views.length; first++) {
    for (let second = first + 1; second < views.length; second++) {
      const [a, b] = [placements[first], placements[second]]
      const [one, other] = [views[first].upright, views[second].upright]
      if (!a || !b || one.turned === other.turned) continue
      const map = between(a, b)
      const opposite = Math.abs(one.turned - other.turned) === 180
      const score = overlap(one, other, map).areaPx * (opposite ? 1000 : 1)
      if (score > most) {
        most = score
        best = { first, second, map }
      }
    }
  }
  return best
}

/** Middles of the windows whose darkest light, in the reduced views, is lightest. */
function lightPlaces(first: View, second: View, map: Placement): { x: number; y: number }[] {
  const [halfX, halfY] = halfExtent(first.upright)
  const { cell } = first.light
  const step = Math.max(2, WINDOW_PX / 2)
  const rgb = new Float64Array(3)
  const found: { x: number; y: number; least: number }[] = []
  for (let y = step - halfY; y < halfY - step; y += WINDOW_PX) {
    for (let x = step - halfX; x < halfX - step; x += WINDOW_PX) {
      let least = Number.POSITIVE_INFINITY
      for (let v = -step; v <= step; v += Math.max(cell, step / 8)) {
        for (let u = -step; u <= step; u += Math.max(cell, step / 8)) {
          const held =
            sampleLight(first, x + u, y + v, rgb) && sampleLight(second, ...moved(map, x + u, y + v), rgb)
          least = held ? Math.min(least, rgb[1]) : 0
          if (!held) break
        }
        if (least === 0) break
      }
      if (least > LEAST_LIGHT)
        found.push({ x: Math.round(x + halfX) - halfX, y: Math.round(y + halfY) - halfY, least })
    }
  }
  return found.sort((a, b) => b.least - a.least).slice(0, WINDOWS)
}

const luminance = ([r, g, b]: WindowPlanes): Float64Array =>
  Float64Array.from(r, (value, i) => Math.max(LEAST_LIGHT, 0.3 * value + 0.6 * g[i] + 0.1 * b[i]))

/** Logarithms of light over a window less the plane that fits them best: falloff and a wash's slope are no relief. */
function relief(light: Float64Array): Float64Array {
  const out = light.map(Math.log)
  const middle = (WINDOW_PX - 1) / 2
  const spread = (WINDOW_PX * WINDOW_PX * (WINDOW_PX * WINDOW_PX - 1)) / 12
  let [mean, across, down] = [0, 0, 0]
  for (const [i, value] of out.entries()) {
    mean += value / out.length
    across += (value * ((i % WINDOW_PX) - middle)) / spread
    down += (value * (Math.floor(i / WINDOW_PX) - middle)) / spread
  }
  return out.map(
    (value, i) =>
      value - mean - across * ((i % WINDOW_PX) - middle) - down * (Math.floor(i / WINDOW_PX) - middle),
  )
}
