import { bringPlanes, type HeldPlanes } from '../../raster/heldRegion.js'
import { kernels } from '../../raster/kernels/kernels.js'
import type { Raster } from '../../raster/Raster.js'
import type { Rect } from '../../raster/Rect.js'
import { emptyTile, type Tile } from '../../raster/Tile.js'
import type { InputTransform } from '../InputTransform.js'
import { type Decoding, decodeBands, decodeHeld } from './decodeBands.js'
import { decodeMatrixRow } from './decodeMatrixRow.js'

/** Smaller regions are done in TypeScript, with the same bits: bringing the tables to the kernel would take longer. */
const KERNEL_PIXELS = 8192

type Matrixed = InputTransform & { kind: 'matrix' }

/** Fills a tile with its rectangle of a raster, by a curve for each channel and a matrix. */
export function decodeMatrix(raster: Raster, transform: Matrixed, tile: Tile): void {
  const { x, y, width, height } = tile.rect
  if (width * height >= KERNEL_PIXELS) {
    decodeBands(raster, tile, decodingOf(transform))
    return
  }
  for (let row = 0; row < height; row++) {
    const from = ((y + row) * raster.width + x) * 3
    decodeMatrixRow(raster.data, from, transform, tile.planes, row * width, width)
  }
}

/** The same into kernel memory. */
export function decodeMatrixHeld(raster: Raster, transform: Matrixed, rect: Rect, planes: HeldPlanes): void {
  if (rect.width * rect.height >= KERNEL_PIXELS) {
    decodeHeld(raster, rect, decodingOf(transform), planes)
    return
  }
  const tile = emptyTile(rect)
  decodeMatrix(raster, transform, tile)
  bringPlanes(tile.planes, planes)
}

function decodingOf({ curves, matrix }: Matrixed): Decoding {
  const { decodePixels } = kernels()
  return {
    curves,
    numbers: matrix,
    run: (placed) =>
      decodePixels(placed.data, placed.count, ...placed.curves, placed.numbers, ...placed.planes),
  }
}
