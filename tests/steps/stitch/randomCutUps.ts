import { cutIntoFrames } from '../../../demo-data/cutIntoFrames.js'
import { cutUp } from '../../../demo-data/cutUp.js'
import type { Painting, SheetKind } from '../../../demo-data/Painting.js'
import { paint } from '../../../demo-data/paint.js'
import { seeded } from '../../../demo-data/painter/seeded.js'
import { captureSource } from '../../../src/colour/captureSource.js'
import { spaceTransform } from '../../../src/colour/spaceTransform.js'
import { WorkError } from '../../../src/errors.js'
import type { Raster } from '../../../src/raster/Raster.js'
import { undistorted } from '../../../src/raster/warp/Lens.js'
import { mapPoint } from '../../../src/raster/warp/PlaneMap.js'
import type { CaptureInfo } from '../../../src/steps/contract.js'
import { toSheet } from '../../../src/steps/stitch/layout/layOut.js'
import { registerCaptures } from '../../../src/steps/stitch/registerCaptures.js'
import { stitch } from '../../../src/steps/stitch/step.js'
import { uprightOf } from '../../../src/steps/stitch/views/Upright.js'
import { readContext } from '../../helpers/readContext.js'
import { type Misplacement, misplacement, type PointMap, through } from './misplacement.js'

export type CutKind = 'flatbed' | 'camera'

const SHEETS: SheetKind[] = ['tooth', 'laid', 'weave', 'smooth']
const LAYOUTS = [
  { columns: 2, rows: 1 },
  { columns: 2, rows: 2 },
  { columns: 3, rows: 1 },
  { columns: 3, rows: 2 },
]
/** What is right: RMS and 95th percentile of misplacement after one affine map, pixels at most. */
export const RIGHT: Record<CutKind, Misplacement> = {
  flatbed: { rmsPx: 0.15, p95Px: 0.35 },
  camera: { rmsPx: 0.3, p95Px: 0.7 },
}

interface CutPainting {
  rasters: Raster[]
  truth: PointMap[]
  captures: Partial<CaptureInfo>[]
}

const painted = new Map<number, Painting>()

/** One of four paintings, a sheet each, by the case's seed. */
function paintingOf(seed: number): Painting {
  const which = seed % SHEETS.length
  const known =
    painted.get(which) ??
    paint({ seed: 30 + which, width: 1200, height: 800, ppi: 300, sheet: SHEETS[which] })
  painted.set(which, known)
  return known
}

/**
 * Cuts a painting up at random and places the pieces: all that may place a capture wrong, or refuse it.
 * @returns how far the pieces lie from the truth, or what was said of those that were refused
 */
export async function placeAtRandom(
  kind: CutKind,
  seed: number,
): Promise<Misplacement | { refused: string[] }> {
  const painting = paintingOf(seed)
  const { rasters, truth, captures } = (kind === 'flatbed' ? tiles : frames)(painting, seed)
  const sources = rasters.map((raster) => captureSource(raster, spaceTransform('sRGB')))
  const ppi = kind === 'flatbed' ? 300 : undefined
  const context = readContext(sources, { kind, captures, ppi })
  const taken = context.captures.map((info) => uprightOf(info, ppi))
  try {
    const { uprights, placements } = await registerCaptures(context, stitch.params.parse({}), taken, [], [])
    const found = uprights.map((upright, i): PointMap => {
      const { toSheet: map, lens } = toSheet(upright, placements[i]!)
      return (x, y) => mapPoint(map, ...(lens ? undistorted(lens, x, y) : ([x, y] as const)))
    })
    return misplacement(found, truth, sources, 'affine')
  } catch (error) {
    if (!(error instanceof WorkError)) throw error
    return { refused: error.problems.map(({ what }) => what) }
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
