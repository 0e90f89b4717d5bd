import { cutIntoFrames } from '../../demo-data/cutIntoFrames.js'
import { cutUp } from '../../demo-data/cutUp.js'
import type { Painting } from '../../demo-data/Painting.js'
import { paint } from '../../demo-data/paint.js'
import { captureSource } from '../../src/colour/captureSource.js'
import { spaceTransform } from '../../src/colour/spaceTransform.js'
import type { Raster } from '../../src/raster/Raster.js'
import type { Tile } from '../../src/raster/Tile.js'
import type { CaptureInfo } from '../../src/steps/contract.js'
import type { SeamMap, StitchReading } from '../../src/steps/stitch/Reading.js'
import { fromRuns } from '../../src/steps/stitch/seams/runs.js'
import { stitch } from '../../src/steps/stitch/step.js'
import { readContext, wholeTile } from '../helpers/readContext.js'
import { row } from './row.js'
import { seamSteps } from './seamSteps.js'

const LAYOUTS = [
  { name: 'two by two', columns: 2, rows: 2, tiles: { overlap: 0.2, turnedTiles: [3] }, frames: 0.3 },
  { name: 'three by two', columns: 3, rows: 2, tiles: { overlap: 0.12 }, frames: 0.25 },
  { name: 'strip of three', columns: 3, rows: 1, tiles: { overlap: 0.15, turnedTiles: [1] }, frames: 0.3 },
]
/** Step across seams, mean CIEDE2000, at most. */
const ASKED = { flatbed: 0.4, camera: 0.7 }

/** A painting captured as it is, and the same with even light and no noise. */
interface Cut {
  kind: 'flatbed' | 'camera'
  captured: readonly Raster[]
  even: readonly Raster[]
  captures: Partial<CaptureInfo>[]
}

/** Steps across seams where light falls off and nothing was done against it, against the truth. */
export async function stitchLight(): Promise<void> {
  const painting = paint({ seed: 21, width: 1200, height: 800, ppi: 300, sheet: 'tooth' })
  for (const [kind, cut] of [
    ['flatbed', tiles],
    ['camera', frames],
  ] as const) {
    const means: number[] = []
    for (const layout of LAYOUTS) {
      const { mean, p95, asCaptured, unevenRms, unevenAsCaptured } = await stepsOf(cut(painting, layout))
      means.push(mean)
      row(
        `${kind}, light, ${layout.name}`,
        `${mean.toFixed(3)} CIEDE2000`,
        `95th percentile ${p95.toFixed(2)}, as captured ${asCaptured.toFixed(2)}`,
      )
      row(
        '  over the whole sheet, against the truth',
        `${(100 * unevenRms).toFixed(2)} % RMS`,
        `as captured ${(100 * unevenAsCaptured).toFixed(2)} %`,
      )
    }
    const most = Math.max(...means)
    row(
      `${kind}: step across seams, worst mean`,
      `${most.toFixed(3)} CIEDE2000`,
      `at most ${ASKED[kind]}`,
      most <= ASKED[kind],
    )
  }
}

async function stepsOf({ kind, captured, even, captures }: Cut) {
  const open = (raster: Raster) => captureSource(raster, spaceTransform('sRGB'))
  const sources = captured.map(open)
  const params = stitch.params.parse({})
  const ppi = kind === 'flatbed' ? 300 : undefined
  const reading = await stitch.read(sources, params, readContext(sources, { kind, captures, ppi }))
  const untouched: StitchReading = {
    ...reading,
    // What was measured of the light belongs to the light as it was corrected.
    layers: reading.layers.map((layer) => ({ ...layer, coarse: undefined })),
    captures: reading.captures.map(({ placed, ...capture }) => ({
      ...capture,
      placed: placed && { ...placed, gain: [1, 1, 1], field: undefined },
    })),
  }
  const sheetOf = (from: typeof sources, how: StitchReading) => wholeTile(stitch.apply(from, how, params)[0])
  const truth = sheetOf(even.map(open), untouched)
  const { seams } = reading.layers[0]
  const [sheet, asItWas] = [sheetOf(sources, reading), sheetOf(sources, untouched)]
  const steps = (of: Tile) => seamSteps(of, truth, seams).sort((a, b) => a - b)
  const mean = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length
  const own = steps(sheet)
  return {
    mean: mean(own),
    p95: own[Math.floor(0.95 * own.length)],
    asCaptured: mean(steps(asItWas)),
    unevenRms: unevenness(sheet, truth, seams),
    unevenAsCaptured: unevenness(asItWas, truth, seams),
  }
}

/** Side of the blocks whose light is compared. */
const BLOCK_PX = 32

/** Root mean square of a sheet's light against the truth's, block by block, about their mean ratio. */
function unevenness(sheet: Tile, truth: Tile, seams: SeamMap): number {
  const labels = fromRuns(seams.runs, seams.width * seams.height)
  const { width, height } = sheet.rect
  const logs: number[] = []
  for (let y = 0; y + BLOCK_PX <= height; y += BLOCK_PX) {
    for (let x = 0; x + BLOCK_PX <= width; x += BLOCK_PX) {
      let [a, b, held] = [0, 0, true]
      for (let i = 0; i < BLOCK_PX * BLOCK_PX; i++) {
        const [px, py] = [x + (i % BLOCK_PX), y + Math.floor(i / BLOCK_PX)]
        held &&= labels[Math.floor(py / seams.cellPx) * seams.width + Math.floor(px / seams.cellPx)] >= 0
        a += sheet.planes[1][py * width + px]
        b += truth.planes[1][py * width + px]
      }
      if (held) logs.push(Math.log(a / b))
    }
  }
  const middle = logs.reduce((sum, value) => sum + value, 0) / logs.length
  return Math.sqrt(logs.reduce((sum, value) => sum + (value - middle) ** 2, 0) / logs.length)
}

/** Tiles whose lamp falls off by 8 %. */
function tiles(painting: Painting, { columns, rows, tiles: how }: (typeof LAYOUTS)[number]): Cut {
  const request = {
    ...{ columns, rows, ...how, rotationDeg: 1, jitterPx: 6, gainSpread: 0.05, falloff: 0.08, seed: 4 },
    ...{ lampFromDeg: 0, lampHeightDeg: 45, reliefDepth: 1, device: 'scanner' as const },
    ...{ noise: 0.003, blurPx: 0.6 },
  }
  const cut = cutUp(painting, request)
  return {
    kind: 'flatbed',
    captured: cut.map(({ raster }) => raster),
    even: cutUp(painting, { ...request, gainSpread: 0, falloff: 0, noise: 0 }).map(({ raster }) => raster),
    captures: cut.map(({ turned }) => ({ turned })),
  }
}

/** Frames that lose 15 % of the light in their corners, exposed and balanced differently by up to 10 %. */
function frames(painting: Painting, { columns, rows, frames: overlap }: (typeof LAYOUTS)[number]): Cut {
  const request = {
    ...{ columns, rows, overlap, beyondPx: 25, jitter: 0.04, turnDeg: 4, tiltDeg: 15, distanceSpread: 0.1 },
    ...{ lens: { focalWidths: 1.4, k1: -0.06, k2: 0.01 }, blurPx: [0.7, 1.1] as const, surround: 0.08 },
    ...{ lampFromDeg: 0, lampHeightDeg: 45, reliefDepth: 1, noise: 0.004, seed: 4 },
  }
  const cut = cutIntoFrames(painting, { ...request, vignetting: 0.15, gainSpread: 0.1 })
  const even = cutIntoFrames(painting, { ...request, vignetting: 0, gainSpread: 0, noise: 0 })
  return {
    kind: 'camera',
    captured: cut.map(({ raster }) => raster),
    even: even.map(({ raster }) => raster),
    captures: cut.map(() => ({})),
  }
}
