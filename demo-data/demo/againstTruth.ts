import type { SpaceName } from '../../src/colour/spaces/SpaceName.js'
import type { Raster } from '../../src/raster/Raster.js'
import type { Rect } from '../../src/raster/Rect.js'
import type { Tile } from '../../src/raster/Tile.js'
import type { CutTile } from '../cutUp.js'
import { inverted } from '../geometry/inverted.js'
import { contrastKept, granulationKept, psnrSrgb, reliefLeftDb } from '../measure.js'
import type { Painting } from '../Painting.js'
import type { Transform } from '../Transform.js'
import { asCaptured } from './asCaptured.js'
import { placeOfMaster } from './placeOfMaster.js'
import { viewed } from './viewed.js'

export interface Closeness {
  psnrDb: number
  reliefDb: number
  pencilKept: number
  granulationKept: number
}

export interface AgainstTruth {
  captured: Closeness
  master: Closeness
  /** How far the tiles lie from where they belong once joined, root mean square, in pixels. */
  misplacementPx: number
}

/** The borders that a tile set need not hold. */
const INSET_PX = 24

/**
 * How close the captures and the master come to the painter's truth, both relative to bare paper.
 * @param toSheet where the join put each tile, in the tiles' order
 */
export function againstTruth(
  { painting, tiles }: { painting: Painting; tiles: readonly CutTile[] },
  master: { raster: Raster; space: SpaceName },
  toSheet: readonly Transform[],
): AgainstTruth {
  const rect = {
    ...{ x: INSET_PX, y: INSET_PX },
    ...{ width: painting.width - 2 * INSET_PX, height: painting.height - 2 * INSET_PX },
  }
  const cut = <T extends Float32Array | Uint8Array>(plane: T) => cropped(plane, painting.width, rect)
  const truth = onPaper(
    { rect, planes: painting.truth.planes.map(cut) as Tile['planes'] },
    cut(painting.blank),
  )
  const blank = cut(painting.blank)
  const settled = cut(painting.granulation)
  const { transform, rms } = placeOfMaster(tiles, toSheet)
  const captured = onPaper(asCaptured(tiles, painting, rect), blank)
  const joined = viewed(master.raster, master.space, inverted(transform), rect)
  const close = (picture: Tile, reliefDb: number): Closeness => ({
    psnrDb: psnrSrgb(truth, picture),
    reliefDb,
    pencilKept: contrastKept(truth, picture, painting.probes, 'pencil'),
    granulationKept: granulationKept(truth, picture, settled, blank),
  })
  return {
    captured: close(captured, 0),
    master: close(joined, reliefLeftDb(truth, captured, joined, blank)),
    misplacementPx: rms,
  }
}

function cropped<T extends Float32Array | Uint8Array>(plane: T, width: number, rect: Rect): T {
  const out = plane.slice(0, rect.width * rect.height) as T
  for (let y = 0; y < rect.height; y++) {
    const from = (rect.y + y) * width + rect.x
    out.set(plane.subarray(from, from + rect.width), y * rect.width)
  }
  return out
}

/** Light relative to the mean of bare paper, each channel by itself, as setting white on the paper does. */
function onPaper(tile: Tile, blank: Uint8Array): Tile {
  for (const plane of tile.planes) {
    let [sum, count] = [0, 0]
    for (let i = 0; i < plane.length; i += 7) {
      if (!blank[i]) continue
      sum += plane[i]
      count++
    }
    const scale = count / sum
    for (let i = 0; i < plane.length; i++) plane[i] *= scale
  }
  return tile
}
