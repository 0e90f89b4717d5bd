import { cutUp } from '../../demo-data/cutUp.js'
import { paint } from '../../demo-data/paint.js'
import { captureSource } from '../../src/colour/captureSource.js'
import { spaceTransform } from '../../src/colour/spaceTransform.js'
import { placements } from '../../src/steps/stitch/placements.js'
import { stitch as step } from '../../src/steps/stitch/step.js'
import { readContext, wholeTile } from '../helpers/readContext.js'
import { misplacement, through } from '../steps/stitch/misplacement.js'
import { row } from './row.js'
import { seamSteps } from './seamSteps.js'
import { stitchAtRandom } from './stitchAtRandom.js'
import { stitchSharpness } from './stitchSharpness.js'
import { stitchSpeed } from './stitchSpeed.js'

const LAYOUTS = [
  { name: 'two by two, one turned', columns: 2, rows: 2, overlap: 0.2, turnedTiles: [3] },
  { name: 'three by two', columns: 3, rows: 2, overlap: 0.12, turnedTiles: [] },
  { name: 'strip of three, one turned', columns: 3, rows: 1, overlap: 0.15, turnedTiles: [1] },
]

/** stitch on painted cut-ups whose truth is known: placement and light. */
export async function stitch(): Promise<void> {
  await placing()
  await stitchSharpness()
  await light()
  await stitchSpeed()
  await stitchAtRandom()
}

/** Local misplacement against the truth after one global alignment. */
async function placing(): Promise<void> {
  const worst: number[] = []
  for (const sheet of ['tooth', 'laid'] as const) {
    const painting = paint({ seed: 21, width: 1800, height: 1200, ppi: 300, sheet })
    for (const { name, ...layout } of LAYOUTS) {
      const tiles = cutUp(painting, {
        ...{
          ...layout,
          rotationDeg: 2,
          jitterPx: 8,
          gainSpread: 0.05,
          lampFromDeg: 0,
          lampHeightDeg: 45,
          seed: 4,
        },
        ...{ reliefDepth: 1, falloff: 0.05, device: 'scanner', noise: 0.003, blurPx: 0.6 },
      })
      const sources = tiles.map(({ raster }) => captureSource(raster, spaceTransform('sRGB')))
      const captures = tiles.map(({ turned }) => ({ turned }))
      const params = step.params.parse({})
      const started = performance.now()
      const reading = await step.read(sources, params, readContext(sources, { captures, ppi: 300 }))
      const seconds = (performance.now() - started) / 1000
      const found = placements(reading).map((placement) => placement!)
      const truth = tiles.map(({ toPainting }) => through(toPainting))
      const { rmsPx, p95Px } = misplacement(found, truth, sources, 'affine')
      worst.push(rmsPx)
      row(
        `${sheet}, ${name}`,
        `${rmsPx.toFixed(3)} px RMS`,
        `95th percentile ${p95Px.toFixed(3)} px, ${seconds.toFixed(1)} s`,
      )
    }
  }
  const most = Math.max(...worst)
  row('misplacement, worst RMS', `${most.toFixed(3)} px`, 'at most 0.15 px', most <= 0.15)
}

/** Steps across seams where the lamp falls off by 8 % and nothing was done against it. */
async function light(): Promise<void> {
  const painting = paint({ seed: 21, width: 1200, height: 800, ppi: 300, sheet: 'tooth' })
  const means: number[] = []
  for (const { name, ...layout } of LAYOUTS) {
    const request = {
      ...{ ...layout, rotationDeg: 1, jitterPx: 6, gainSpread: 0.05, lampFromDeg: 0, lampHeightDeg: 45 },
      ...{ reliefDepth: 1, falloff: 0.08, device: 'scanner' as const, noise: 0.003, blurPx: 0.6, seed: 4 },
    }
    const tiles = cutUp(painting, request)
    const even = cutUp(painting, { ...request, gainSpread: 0, falloff: 0, noise: 0 })
    const open = ({ raster }: (typeof tiles)[number]) => captureSource(raster, spaceTransform('sRGB'))
    const sources = tiles.map(open)
    const captures = tiles.map(({ turned }) => ({ turned }))
    const params = step.params.parse({})
    const reading = await step.read(sources, params, readContext(sources, { captures, ppi: 300 }))
    const untouched = {
      ...reading,
      captures: reading.captures.map((capture) => ({
        ...capture,
        placed: capture.placed && {
          ...capture.placed,
          gain: [1, 1, 1] as [number, number, number],
          field: undefined,
        },
      })),
    }
    const sheetOf = (from: typeof sources, how: typeof reading) => wholeTile(step.apply(from, how, params)[0])
    const truth = sheetOf(even.map(open), untouched)
    const mean = (how: typeof reading) => {
      const steps = seamSteps(sheetOf(sources, how), truth, reading.layers[0].seams)
      return steps.reduce((sum, value) => sum + value, 0) / steps.length
    }
    means.push(mean(reading))
    row(
      `light, ${name}`,
      `${means.at(-1)!.toFixed(3)} CIEDE2000`,
      `as captured ${mean(untouched).toFixed(3)}`,
    )
  }
  const most = Math.max(...means)
  row('step across seams, worst mean', `${most.toFixed(3)} CIEDE2000`, 'at most 0.4', most <= 0.4)
}
