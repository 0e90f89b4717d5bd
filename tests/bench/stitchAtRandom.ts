import { cutIntoFrames } from '../../demo-data/cutIntoFrames.js'
import { cutUp } from '../../demo-data/cutUp.js'
import type { Painting, SheetKind } from '../../demo-data/Painting.js'
import { paint } from '../../demo-data/paint.js'
import { seeded } from '../../demo-data/painter/seeded.js'
import { captureSource } from '../../src/colour/captureSource.js'
import { spaceTransform } from '../../src/colour/spaceTransform.js'
import { WorkError } from '../../src/errors.js'
import type { Raster } from '../../src/raster/Raster.js'
import type { CaptureInfo } from '../../src/steps/contract.js'
import { placements } from '../../src/steps/stitch/placements.js'
import { stitch } from '../../src/steps/stitch/step.js'
import { readContext } from '../helpers/readContext.js'
import { misplacement, type PointMap, through } from '../steps/stitch/misplacement.js'
import { row } from './row.js'

/** Cut-ups of each kind. */
const COUNT = 100
const SHEETS: SheetKind[] = ['tooth', 'laid', 'weave', 'smooth']
const LAYOUTS = [
  { columns: 2, rows: 1 },
  { columns: 2, rows: 2 },
  { columns: 3, rows: 1 },
  { columns: 3, rows: 2 },
]
/** What is right: RMS and 95th percentile of misplacement after one affine map. */
const RIGHT = { flatbed: [0.15, 0.35], camera: [0.3, 0.7] } as const

interface CutPainting {
  rasters: Raster[]
  truth: PointMap[]
  captures: Partial<CaptureInfo>[]
}

/** Cut-ups drawn at random: every one placed right, or refused with the right capture named; none placed wrong. */
export async function stitchAtRandom(): Promise<void> {
  const paintings = SHEETS.map((sheet, i) =>
    paint({ seed: 30 + i, width: 1200, height: 800, ppi: 300, sheet }),
  )
  for (const kind of ['flatbed', 'camera'] as const) {
    let [right, refused, wrong, worstRms, worstP95, seconds] = [0, 0, 0, 0, 0, 0]
    for (let seed = 0; seed < COUNT; seed++) {
      const painting = paintings[seed % SHEETS.length]
      const { rasters, truth, captures } = kind === 'flatbed' ? tiles(painting, seed) : frames(painting, seed)
      const sources = rasters.map((raster) => captureSource(raster, spaceTransform('sRGB')))
      const context = readContext(sources, { kind, captures, ppi: kind === 'flatbed' ? 300 : undefined })
      const started = process.cpuUsage().user
      try {
        const reading = await stitch.read(sources, stitch.params.parse({}), context)
        const found = placements(reading).map((placement) => placement!)
        const { rmsPx, p95Px } = misplacement(found, truth, sources, 'affine')
        const isRight = rmsPx <= RIGHT[kind][0] && p95Px <= RIGHT[kind][1]
        if (isRight) right++
        else wrong++
        if (!isRight)
          row(`  ${kind} ${seed}`, `${rmsPx.toFixed(3)} px RMS`, `95th percentile ${p95Px.toFixed(3)} px`)
        worstRms = Math.max(worstRms, rmsPx)
        worstP95 = Math.max(worstP95, p95Px)
      } catch (error) {
        if (!(error instanceof WorkError)) throw error
        refused++
        row(`  ${kind} ${seed} refused`, '', error.problems.map(({ what }) => what).join('; '))
      }
      seconds += (process.cpuUsage().user - started) / 1e6
    }
    row(`${kind}: placed right`, `${right} of ${COUNT}`, 'all, or refused', wrong === 0)
    row(`${kind}: refused, by name`, `${refused} of ${COUNT}`, 'as few as can be')
    row(`${kind}: placed wrong`, `${wrong} of ${COUNT}`, 'none', wrong === 0)
    const [mostRms, mostP95] = RIGHT[kind]
    row(`${kind}: worst RMS`, `${worstRms.toFixed(3)} px`, `at most ${mostRms} px`, worstRms <= mostRms)
    row(
      `${kind}: worst 95th percentile`,
      `${worstP95.toFixed(3)} px`,
      `at most ${mostP95} px`,
      worstP95 <= mostP95,
    )
    row(`${kind}: a reading`, `${(seconds / COUNT).toFixed(1)} s of one core`, 'no bound')
  }
}

/** Tiles in any order: overlap from 8 %, rotation to 3 degrees, scales to 0.5 %, some turned, stated or not. */
function tiles(painting: Painting, seed: number): CutPainting {
  const random = seeded(seed, 77)
  const layout = LAYOUTS[Math.floor(random.between(0, LAYOUTS.length))]
  const count = layout.columns * layout.rows
  const cut = cutUp(painting, {
    ...{
      ...layout,
      overlap: random.between(0.08, 0.3),
      rotationDeg: random.between(0, 3),
      jitterPx: 4,
      seed,
    },
    ...{ gainSpread: 0.1, scaleSpread: seed % 2 ? 0.005 : 0, falloff: 0.05, reliefDepth: 1, noise: 0.004 },
    ...{ lampFromDeg: 0, lampHeightDeg: 45, device: 'scanner', blurPx: 0.6 },
    turnedTiles: random.between(0, 1) > 0.5 ? [Math.floor(random.between(0, count))] : [],
  })
  const order = cut.map((tile) => ({ tile, key: random.between(0, 1) })).sort((a, b) => a.key - b.key)
  const stated = random.between(0, 1) > 0.5
  return {
    rasters: order.map(({ tile }) => tile.raster),
    truth: order.map(({ tile }) => through(tile.toPainting)),
    captures: order.map(({ tile }) => ({ turned: stated ? tile.turned : 0 })),
  }
}

/** Frames: tilt to 15 degrees, distance to 10 %, a lens, vignetting, exposure, balance and focus unlike. */
function frames(painting: Painting, seed: number): CutPainting {
  const random = seeded(seed, 77)
  const layout = LAYOUTS[Math.floor(random.between(0, LAYOUTS.length))]
  const cut = cutIntoFrames(painting, {
    ...{ ...layout, overlap: random.between(0.2, 0.4), seed },
    lens: {
      focalWidths: random.between(1, 2),
      k1: random.between(-0.1, 0.06),
      k2: random.between(-0.02, 0.03),
    },
    ...{ beyondPx: 25, jitter: 0.04, turnDeg: 4, tiltDeg: 15, distanceSpread: 0.1, gainSpread: 0.1 },
    ...{ blurPx: [0.7, 1.1], vignetting: 0.15, surround: 0.08, noise: 0.004, reliefDepth: 1 },
    ...{ lampFromDeg: 0, lampHeightDeg: 45 },
  })
  return {
    rasters: cut.map(({ raster }) => raster),
    truth: cut.map(({ toPainting }) => toPainting),
    captures: cut.map(() => ({})),
  }
}
