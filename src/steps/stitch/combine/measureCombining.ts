import type { ReadContext } from '../../contract.js'
import { moved, type Placement } from '../Placement.js'
import { between, overlap } from '../place/overlap.js'
import { readWindows, type WindowPlanes } from '../refine/readWindows.js'
import { sampleLight } from '../views/sampleLight.js'
import { halfExtent } from '../views/Upright.js'
import type { View } from '../views/View.js'
import type { Combining } from './Layer.js'
import { BORDER_PX, LEARN_PX, learnRelief, powersOf } from './learnRelief.js'
import { PLAIN, type ReliefModel } from './ReliefModel.js'

/** So many of the evenest places are looked at, and this share of them kept: those that hold least but relief. */
const WINDOWS = 300
const KEPT = 0.1
const FEWEST_KEPT = 8
const LEAST_LIGHT = 0.05
/** Relief that correlates more than this did not flip: nothing is to be learned from differences. */
const SAME_RELIEF = 0.3

/**
 * Learns how the sheet shades from the evenest places of the pair that shares most, and measures what
 * combining takes of the relief there: variance of fast log light, combined against single. Paint that is left there
 * counts as relief, and the capture's noise too, so the true gain is not less.
 */
export async function measureCombining(
  views: readonly View[],
  placements: readonly (Placement | undefined)[],
  combining: Combining,
  context: ReadContext,
): Promise<Combining> {
  const pair = largestPair(views, placements)
  if (!pair) return combining
  const places = evenPlaces(views[pair.first], views[pair.second], pair.map)
  const windows = (await readWindows(views, pair, places, LEARN_PX, context))
    .map(atOneExposure)
    .map((window) => ({ window, powers: powersOf(window, PLAIN) }))
    .sort((p, q) => p.powers.unevenness - q.powers.unevenness)
    .slice(0, Math.max(FEWEST_KEPT, Math.ceil(KEPT * places.length)))
  if (!windows.length) return combining
  const plain = meanOf(windows.map(({ powers }) => powers))
  if (!(plain.first + plain.second > 0)) return combining
  const reliefCorrelation = plain.cross / Math.sqrt(plain.first * plain.second)
  const learned = learnRelief(windows.map(({ window }) => window))
  const model: ReliefModel =
    pair.opposite && reliefCorrelation < SAME_RELIEF
      ? { ...learned, lampAxisDeg: learned.lampAxisDeg + (views[pair.first].upright.turned % 180) }
      : PLAIN
  const { first, second, both } = meanOf(windows.map(({ window }) => powersOf(window, model)))
  const single = (first + second) / 2
  return {
    ...combining,
    model,
    reliefRms: Math.sqrt(single),
    reliefDb: 10 * Math.log10(Math.max(both, 1e-12) / single),
    reliefCorrelation,
  }
}

type Powers = ReturnType<typeof powersOf>

function meanOf(powers: readonly Powers[]): Powers {
  const mean = (key: keyof Powers) => powers.reduce((sum, one) => sum + one[key], 0) / powers.length
  return {
    ...{ first: mean('first'), second: mean('second'), both: mean('both'), cross: mean('cross') },
    unevenness: mean('unevenness'),
  }
}

/** The second at the first's exposure, channel by channel. */
function atOneExposure([a, b]: [WindowPlanes, WindowPlanes]): [WindowPlanes, WindowPlanes] {
  const sum = (plane: Float32Array) => plane.reduce((total, value) => total + value, 0)
  const planes = b.map((plane, c) => {
    const factor = sum(a[c]) / Math.max(sum(plane), 1e-6)
    return plane.map((value) => value * factor)
  }) as WindowPlanes
  return [a, planes]
}

/** Opposite captures before others, then the largest common area. */
function largestPair(views: readonly View[], placements: readonly (Placement | undefined)[]) {
  let best: { first: number; second: number; map: Placement; opposite: boolean } | undefined
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
        best = { first, second, map, opposite }
      }
    }
  }
  return best
}

/** Middles of the windows that are evenest in the first's reduced view, of those both captures hold. */
function evenPlaces(first: View, second: View, map: Placement): { x: number; y: number }[] {
  const [halfX, halfY] = halfExtent(first.upright)
  const { cell } = first.light
  const half = LEARN_PX / 2
  // On a small sheet windows may share half of what they see.
  const step = 4 * halfX * halfY > 4 * WINDOWS * LEARN_PX ** 2 ? LEARN_PX : half
  const inside = half - BORDER_PX
  const rgb = new Float64Array(3)
  const found: { x: number; y: number; spread: number }[] = []
  for (let y = half - halfY; y < halfY - half; y += step) {
    for (let x = half - halfX; x < halfX - half; x += step) {
      let [least, sum, squares, count] = [Number.POSITIVE_INFINITY, 0, 0, 0]
      for (let v = -inside; v <= inside; v += Math.max(cell, half / 8)) {
        for (let u = -inside; u <= inside; u += Math.max(cell, half / 8)) {
          if (!sampleLight(first, x + u, y + v, rgb)) continue
          const log = Math.log(Math.max(rgb[1], 0.001))
          least = Math.min(least, rgb[1])
          sum += log
          squares += log * log
          count++
        }
      }
      const held = [-half, half].every((v) =>
        [-half, half].every((u) => sampleLight(second, ...moved(map, x + u, y + v), rgb)),
      )
      if (!held || least < LEAST_LIGHT) continue
      const place = { x: Math.round(x + halfX) - halfX, y: Math.round(y + halfY) - halfY }
      found.push({ ...place, spread: squares / count - (sum / count) ** 2 })
    }
  }
  return found.sort((a, b) => a.spread - b.spread).slice(0, WINDOWS)
}
