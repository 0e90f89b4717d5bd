import { deltaE2000 } from '../../../colour/deltaE2000.js'
import type { Vector3 } from '../../../colour/matrix3.js'
import { packPicture } from '../../../colour/packedPicture.js'
import { toPicture8 } from '../../../colour/toPicture8.js'
import type { Rect } from '../../../raster/Rect.js'
import type { Source } from '../../../raster/Source.js'
import { emptyTile, type Tile } from '../../../raster/Tile.js'
import { joined } from '../joined.js'
import type { Layout } from '../layout/layOut.js'
import type { Correction } from '../light/LightField.js'
import type { SeamMap, StitchReading, WorstSeam } from '../Reading.js'
import type { View } from '../views/View.js'
import { alone } from './alone.js'
import { type Crossing, findCrossings } from './findCrossings.js'
import { labOfLight } from './labOfLight.js'
import { fromRuns } from './runs.js'

/** From a seam to the middles of the patches compared, and half a patch's side. */
const AWAY_PX = 14
const HALF_PX = 5
const REACH_PX = AWAY_PX + HALF_PX
/** So many places whose reduced captures differ most are measured at full resolution, this far apart or more. */
const MEASURED = 16
const APART_PX = 48
/** The picture's size at 100 %. */
const CROP = { width: 240, height: 160 }

/**
 * The place along the seams where the picture would step most, its captures butted with their light matched, and what
 * blending makes of it.
 * @param sources the captures; small regions of them are asked for
 * @param reading all of it but this
 * @returns undefined where no two captures meet
 */
export function findWorstSeam(
  sources: readonly Source[],
  reading: StitchReading,
  views: readonly View[],
  layout: Layout,
  corrections: readonly Correction[],
): WorstSeam | undefined {
  const sheet = joined(sources, reading)
  const single = new Map<number, Source>()
  const singleOf = (index: number): Source => {
    const known = single.get(index) ?? joined(sources, alone(reading, index))
    single.set(index, known)
    return known
  }
  let worst: { crossing: Crossing; seams: SeamMap; before: number; after: number } | undefined
  for (const { seams } of reading.layers) {
    const crossings = findCrossings(seams, views, layout, corrections, REACH_PX)
    for (const crossing of mostDifferent(crossings)) {
      if (!fits(crossing, sheet)) continue
      const [before, after] = stepsAt(crossing, singleOf(crossing.first), singleOf(crossing.second), sheet)
      if (before > (worst?.before ?? -1)) worst = { crossing, seams, before, after }
    }
  }
  if (!worst) return undefined
  const { crossing, seams, before, after } = worst
  const { x, y, first, second } = crossing
  const rect = cropAbout(x, y, sheet)
  return {
    ...{ x, y, first, second, before, after },
    left: rect.x,
    top: rect.y,
    pictures: [butted(rect, seams, singleOf, reading.fill), sheet.region(rect)].map((tile) =>
      packPicture(toPicture8(tile)),
    ),
  }
}

function mostDifferent(crossings: readonly Crossing[]): Crossing[] {
  const chosen: Crossing[] = []
  for (const crossing of [...crossings].sort((a, b) => b.difference - a.difference)) {
    if (chosen.length === MEASURED) break
    if (chosen.every(({ x, y }) => Math.hypot(x - crossing.x, y - crossing.y) >= APART_PX)) {
      chosen.push(crossing)
    }
  }
  return chosen
}

const fits = ({ x, y }: Crossing, { width, height }: Source): boolean =>
  Math.min(x, y) >= REACH_PX && x + REACH_PX < width && y + REACH_PX < height

/**
 * Steps from one side of a seam to the other, captures butted and blended: by how much the far side differs from what
 * the near side and the captures' own course from one to the other say it ought to be.
 */
function stepsAt(
  { x, y, across: [dx, dy] }: Crossing,
  first: Source,
  second: Source,
  sheet: Source,
): [before: number, after: number] {
  const sides = (source: Source) =>
    [-AWAY_PX, AWAY_PX].map((away) => patch(source, x + dx * away, y + dy * away))
  const [nearFirst, farFirst] = sides(first)
  const [nearSecond, farSecond] = sides(second)
  const [near, far] = sides(sheet)
  const course = nearFirst.map((_, c) =>
    Math.sqrt((farFirst[c] * farSecond[c]) / (nearFirst[c] * nearSecond[c])),
  )
  const step = (from: Vector3, to: Vector3) => {
    const expected = from.map((value, c) => value * course[c]) as Vector3
    const found = deltaE2000(labOfLight(to), labOfLight(expected))
    return Number.isFinite(found) ? found : 0
  }
  return [step(nearFirst, farSecond), step(near, far)]
}

function patch(source: Source, x: number, y: number): Vector3 {
  const side = 2 * HALF_PX + 1
  const { planes } = source.region({ x: x - HALF_PX, y: y - HALF_PX, width: side, height: side })
  return planes.map((plane) => plane.reduce((sum, value) => sum + value, 0) / plane.length) as Vector3
}

function cropAbout(x: number, y: number, sheet: Source): Rect {
  const width = Math.min(CROP.width, sheet.width)
  const height = Math.min(CROP.height, sheet.height)
  const held = (at: number, size: number, whole: number) =>
    Math.min(Math.max(at - (size >> 1), 0), whole - size)
  return { x: held(x, width, sheet.width), y: held(y, height, sheet.height), width, height }
}

/** Captures side by side as the seams part them, each pixel from one. */
function butted(
  rect: Rect,
  seams: SeamMap,
  singleOf: (index: number) => Source,
  fill: StitchReading['fill'],
): Tile {
  const labels = fromRuns(seams.runs, seams.width * seams.height)
  const out = emptyTile(rect)
  const tiles = new Map<number, Tile>()
  for (let j = 0, i = 0; j < rect.height; j++) {
    const row = Math.floor((rect.y + j) / seams.cellPx) * seams.width
    for (let k = 0; k < rect.width; k++, i++) {
      const label = labels[row + Math.floor((rect.x + k) / seams.cellPx)]
      if (label < 0) {
        for (let c = 0; c < 3; c++) out.planes[c][i] = fill[c]
        continue
      }
      const tile = tiles.get(label) ?? singleOf(label).region(rect)
      tiles.set(label, tile)
      for (let c = 0; c < 3; c++) out.planes[c][i] = tile.planes[c][i]
    }
  }
  return out
}
