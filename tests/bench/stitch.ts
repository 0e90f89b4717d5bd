import { cutUp } from '../../demo-data/cutUp.js'
import { paint } from '../../demo-data/paint.js'
import { captureSource } from '../../src/colour/captureSource.js'
import { spaceTransform } from '../../src/colour/spaceTransform.js'
import { placements } from '../../src/steps/stitch/placements.js'
import { stitch as step } from '../../src/steps/stitch/step.js'
import { readContext } from '../helpers/readContext.js'
import { misplacement, through } from '../steps/stitch/misplacement.js'
import { row } from './row.js'
import { stitchLight } from './stitchLight.js'
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
  await stitchLight()
  await stitchSpeed()
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
