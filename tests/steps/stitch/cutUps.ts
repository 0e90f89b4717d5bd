import { type CutRequest, type CutTile, cutUp } from '../../../demo-data/cutUp.js'
import type { Painting } from '../../../demo-data/Painting.js'
import { paint } from '../../../demo-data/paint.js'
import { captureSource } from '../../../src/colour/captureSource.js'
import { spaceTransform } from '../../../src/colour/spaceTransform.js'
import type { Source } from '../../../src/raster/Source.js'
import { stitch } from '../../../src/steps/stitch/step.js'
import { readContext } from '../../helpers/readContext.js'

const PPI = 300
let painting: Painting | undefined

/** One small painting on toothed paper for all tests of a file. */
export function smallPainting(): Painting {
  painting ??= paint({ seed: 7, width: 900, height: 600, ppi: PPI, sheet: 'tooth' })
  return painting
}

/** Tiles of the small painting as a flatbed would see them. */
export function smallTiles(request: Partial<CutRequest> & { seed: number }): CutTile[] {
  return cutUp(smallPainting(), {
    ...{ columns: 2, rows: 2, overlap: 0.25, rotationDeg: 2, jitterPx: 5, gainSpread: 0.05 },
    ...{ lampFromDeg: 0, lampHeightDeg: 45, reliefDepth: 1, falloff: 0, device: 'scanner' as const },
    ...{ noise: 0.004, blurPx: 0.7 },
    ...request,
  })
}

export const sourceOf = ({ raster }: Pick<CutTile, 'raster'>): Source =>
  captureSource(raster, spaceTransform('sRGB'))

/** Takes the step's reading of tiles. */
export function read(tiles: readonly CutTile[], params = stitch.params.parse({})) {
  const sources = tiles.map(sourceOf)
  const context = readContext(sources, { captures: tiles.map(({ turned }) => ({ turned })), ppi: PPI })
  return { sources, context, reading: stitch.read(sources, params, context) }
}
