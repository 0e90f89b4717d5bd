import { captureSource } from '../../src/colour/captureSource.js'
import type { SpaceName } from '../../src/colour/spaces/SpaceName.js'
import { spaceTransform } from '../../src/colour/spaceTransform.js'
import type { Raster } from '../../src/raster/Raster.js'
import type { Rect } from '../../src/raster/Rect.js'
import type { Tile } from '../../src/raster/Tile.js'
import type { CutTile } from '../cutUp.js'
import { fitSimilarity, type PointPair } from '../geometry/fitSimilarity.js'
import { inverted } from '../geometry/inverted.js'
import { resampled } from '../geometry/resampled.js'
import { contrastKept, granulationKept, psnrSrgb, reliefLeftDb } from '../measure.js'
import type { Painting } from '../Painting.js'
import type { Transform } from '../Transform.js'

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
  const { transform, rms } = fitSimilarity(tiles.flatMap((tile, i) => partners(tile, toSheet[i])))
  const captured = onPaper(asCaptured(tiles, painting, rect), blank)
  const joined = viewed(master.raster, master.space, inverted(transform), rect)
  const close = (picture: Tile): Closeness => ({
    psnrDb: psnrSrgb(truth, picture),
    reliefDb: reliefLeftDb(truth, captured, picture, blank),
    pencilKept: contrastKept(truth, picture, painting.probes, 'pencil'),
    granulationKept: granulationKept(truth, picture, settled, blank),
  })
  return { captured: close(captured), master: close(joined), misplacementPx: rms }
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

/** The untouched tiles laid side by side where the painter knows they belong, read as the sRGB they claim to be. */
function asCaptured(tiles: readonly CutTile[], { width, height }: Painting, rect: Rect): Tile {
  const planes = [0, 1, 2].map(() => new Float32Array(rect.width * rect.height)) as Tile['planes']
  const middle = [Math.round(width / 2) - rect.x, Math.round(height / 2) - rect.y]
  tiles.forEach(({ raster, toPainting }, i) => {
    const left = i % 2 === 0 ? 0 : middle[0]
    const top = i < 2 ? 0 : middle[1]
    const part = {
      ...{ x: rect.x + left, y: rect.y + top },
      ...{
        width: i % 2 === 0 ? middle[0] : rect.width - middle[0],
        height: i < 2 ? middle[1] : rect.height - middle[1],
      },
    }
    viewed(raster, 'sRGB', inverted(toPainting), part).planes.forEach((plane, c) => {
      for (let y = 0; y < part.height; y++) {
        const row = plane.subarray(y * part.width, (y + 1) * part.width)
        planes[c].set(row, (top + y) * rect.width + left)
      }
    })
  })
  return { rect, planes }
}

/** A picture seen on the painting's pixels. */
function viewed(raster: Raster, space: SpaceName, fromPainting: Transform, rect: Rect): Tile {
  const all = { x: 0, y: 0, width: raster.width, height: raster.height }
  const { planes } = captureSource(raster, spaceTransform(space)).region(all)
  const [a, b, c, d, e, f] = fromPainting
  const shifted: Transform = [a, b, c + a * rect.x + b * rect.y, d, e, f + d * rect.x + e * rect.y]
  return { rect, planes: resampled(planes, all, shifted, rect.width, rect.height) as Tile['planes'] }
}

/** Places of a tile on the joined sheet, each with its place on the painting. */
function partners({ raster, toPainting }: CutTile, toSheet: Transform): PointPair[] {
  const at = ([a, b, c, d, e, f]: Transform, x: number, y: number) =>
    [a * x + b * y + c, d * x + e * y + f] as const
  return Array.from({ length: 36 }, (_, i) => {
    const x = ((i % 6) / 5) * (raster.width - 1)
    const y = (Math.floor(i / 6) / 5) * (raster.height - 1)
    return { from: at(toSheet, x, y), to: at(toPainting, x, y) }
  })
}
