import { cutIntoFrames } from '../../demo-data/cutIntoFrames.js'
import { cutUp } from '../../demo-data/cutUp.js'
import { resampled } from '../../demo-data/geometry/resampled.js'
import { litPart } from '../../demo-data/lighting/litPart.js'
import type { Painting } from '../../demo-data/Painting.js'
import { paint } from '../../demo-data/paint.js'
import { blurred } from '../../demo-data/painter/blurred.js'
import { captureSource } from '../../src/colour/captureSource.js'
import { spaceTransform } from '../../src/colour/spaceTransform.js'
import type { Raster } from '../../src/raster/Raster.js'
import type { Source } from '../../src/raster/Source.js'
import { distorted } from '../../src/raster/warp/Lens.js'
import { invertedMap, mapPoint } from '../../src/raster/warp/PlaneMap.js'
import type { StitchReading } from '../../src/steps/stitch/Reading.js'
import { stitch } from '../../src/steps/stitch/step.js'
import { readContext, wholeTile } from '../helpers/readContext.js'
import { energyInOverlap } from '../steps/stitch/energyInOverlap.js'
import { type PointMap, through } from '../steps/stitch/misplacement.js'
import { row } from './row.js'

const SIZE = { width: 1200, height: 800, ppi: 300 }
const WIDTH_MM = (SIZE.width / SIZE.ppi) * 25.4
const BLUR_PX = 0.7
/** What is finer than this (standard deviation) is high frequency; what a camera or scanner sees of it is not much. */
const FINE_PX = 1
const LIT = { lampFromDeg: 0, lampHeightDeg: 45, reliefDepth: 0.5, noise: 0, surround: 0.08 }
const EDGE_PX = 40

/** How much of the finest detail the one interpolation and the blending keep, and how true the size is. */
export async function stitchSharpness(): Promise<void> {
  const painting = paint({ seed: 23, ...SIZE, sheet: 'tooth' })
  const tiles = cutUp(painting, {
    ...{
      columns: 2,
      rows: 2,
      overlap: 0.15,
      rotationDeg: 2.5,
      jitterPx: 5,
      scaleSpread: 0.005,
      beyondPx: 45,
    },
    ...{ ...LIT, falloff: 0, device: 'scanner', blurPx: BLUR_PX, seed: 6 },
  })
  await measured(
    'flatbed',
    painting,
    tiles.map(({ raster, toPainting }) => ({ raster, toPainting: through(toPainting) })),
    [97, 0.1],
  )
  const frames = cutIntoFrames(painting, {
    ...{ columns: 2, rows: 2, overlap: 0.3, beyondPx: 70, jitter: 0.03, turnDeg: 4, tiltDeg: 15 },
    ...{ distanceSpread: 0.1, gainSpread: 0, vignetting: 0, lens: { focalWidths: 1.4, k1: -0.05, k2: 0.01 } },
    ...{ ...LIT, blurPx: [BLUR_PX, BLUR_PX], seed: 6 },
  })
  await measured('camera', painting, frames, [93, 0.3])
  for (const blurPx of [0.8, 1.1, 1.7]) await outOfFocus(painting, blurPx)
}

/** Of two tiles one is blurred more: what their overlap keeps, by the seam as it runs and as it would run unaware. */
async function outOfFocus(painting: Painting, blurPx: number): Promise<void> {
  const request = {
    ...{ columns: 2, rows: 1, overlap: 0.3, rotationDeg: 2, jitterPx: 5, gainSpread: 0.05, noise: 0.004 },
    ...{ lampFromDeg: 0, lampHeightDeg: 45, reliefDepth: 1, falloff: 0, device: 'scanner' as const, seed: 6 },
  }
  const params = stitch.params.parse({})
  const open = ({ raster }: { raster: Raster }) => captureSource(raster, spaceTransform('sRGB'))
  const read = (sources: readonly Source[]) =>
    stitch.read(sources, params, readContext(sources, { ppi: SIZE.ppi }))
  const sharp = cutUp(painting, { ...request, blurPx: 0.6 }).map(open)
  const sources = [sharp[0], open(cutUp(painting, { ...request, blurPx })[1])]
  const [same, reading] = [await read(sharp), await read(sources)]
  const energy = (from: readonly Source[], how: typeof reading) =>
    energyInOverlap(wholeTile(stitch.apply(from, how, params)[0]), reading)
  const ideal = energy(sharp, reading)
  const kept = (how: typeof reading) => `${((100 * energy(sources, how)) / ideal).toFixed(1)} %`
  row(
    `flatbed: one tile blurred ${blurPx} px, not 0.6: kept`,
    kept(reading),
    `${kept({ ...reading, layers: same.layers })} by a seam unaware`,
  )
}

async function measured(
  kind: 'flatbed' | 'camera',
  painting: Painting,
  captures: readonly { raster: Parameters<typeof captureSource>[0]; toPainting: PointMap }[],
  [leastEnergy, mostSize]: readonly [number, number],
): Promise<void> {
  const sources = captures.map(({ raster }) => captureSource(raster, spaceTransform('sRGB')))
  const params = stitch.params.parse({})
  const ppi = kind === 'flatbed' ? SIZE.ppi : undefined
  const context = readContext(sources, { kind, ppi, sheetSizeMm: { width: WIDTH_MM } })
  const reading = await stitch.read(sources, params, context)
  const sheet = wholeTile(stitch.apply(sources, reading, params)[0])
  const { width, height } = sheet.rect
  const toPainting = sheetToPainting(
    reading,
    captures.map(({ toPainting: map }) => map),
  )
  const whole = { x: -80, y: -80, width: SIZE.width + 160, height: SIZE.height + 160 }
  const device = kind === 'flatbed' ? ('scanner' as const) : ('camera' as const)
  const lit = litPart(painting, { ...LIT, device, blurPx: BLUR_PX }, 0, whole)
  const [, ideal] = resampled(lit, whole, toPainting, width, height)
  const inside = new Uint8Array(width * height)
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const [px, py] = toPainting(x, y)
      const held = Math.min(px, py, SIZE.width - 1 - px, SIZE.height - 1 - py) > EDGE_PX
      inside[y * width + x] = held ? 1 : 0
    }
  }
  const energy =
    (100 * fineEnergy(sheet.planes[1], inside, width, height)) / fineEnergy(ideal, inside, width, height)
  row(
    `${kind}: high-frequency energy kept`,
    `${energy.toFixed(1)} %`,
    `at least ${leastEnergy} %`,
    energy >= leastEnergy,
  )
  const [[ax, ay], [bx, by]] = [toPainting(width * 0.2, height * 0.2), toPainting(width * 0.8, height * 0.8)]
  const truePpi = (SIZE.ppi * Math.hypot(width * 0.6, height * 0.6)) / Math.hypot(bx - ax, by - ay)
  const off = 100 * Math.abs(reading.ppi! / truePpi - 1)
  row(`${kind}: true size, size given`, `off by ${off.toFixed(3)} %`, `within ${mostSize} %`, off <= mostSize)
}

/** Where the sheet's pixels lie in the painting: through whichever capture holds them deepest, as the truth has it. */
function sheetToPainting({ captures }: StitchReading, truth: readonly PointMap[]): PointMap {
  const parts = captures.map(({ placed, width, height }, k) => {
    const { toSheet, lens } = placed!
    return { back: invertedMap(toSheet), lens, width, height, map: truth[k] }
  })
  return (x, y) => {
    let [best, room]: [readonly [number, number], number] = [[0, 0], Number.NEGATIVE_INFINITY]
    for (const { back, lens, width, height, map } of parts) {
      const ideal = mapPoint(back, x, y)
      const [u, v] = lens ? distorted(lens, ...ideal) : ideal
      const own = Math.min(u, v, width - 1 - u, height - 1 - v)
      if (own <= room) continue
      room = own
      best = map(u, v)
    }
    return best
  }
}

/** Mean square of what is finest in a plane's logarithm. */
function fineEnergy(plane: Float32Array, inside: Uint8Array, width: number, height: number): number {
  const log = plane.map((value) => Math.log(Math.max(value, 0.01)))
  const coarse = blurred(log.slice(), width, height, FINE_PX)
  let [sum, count] = [0, 0]
  for (let i = 0; i < log.length; i++) {
    if (!inside[i]) continue
    sum += (log[i] - coarse[i]) ** 2
    count++
  }
  return sum / count
}
