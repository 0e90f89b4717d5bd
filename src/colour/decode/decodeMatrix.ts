import { kernels } from '../../raster/kernels/kernels.js'
import type { Raster } from '../../raster/Raster.js'
import type { Tile } from '../../raster/Tile.js'
import type { InputTransform } from '../InputTransform.js'
import { decodeBands } from './decodeBands.js'
import { decodeMatrixRow } from './decodeMatrixRow.js'

/** Smaller regions are done in TypeScript, with the same bits: bringing the tables to the kernel would take longer. */
const KERNEL_PIXELS = 8192

/** Fills a tile with its rectangle of a raster, by a curve for each channel and a matrix. */
export function decodeMatrix(
  raster: Raster,
  transform: InputTransform & { kind: 'matrix' },
  tile: Tile,
): void {
  const { x, y, width, height } = tile.rect
  if (width * height >= KERNEL_PIXELS) {
    const { decodePixels } = kernels()
    decodeBands(
      raster,
      tile,
      transform.curves,
      transform.matrix,
      ({ data, count, curves, numbers, planes }) => decodePixels(data, count, ...curves, numbers, ...planes),
    )
    return
  }
  for (let row = 0; row < height; row++) {
    const from = ((y + row) * raster.width + x) * 3
    decodeMatrixRow(raster.data, from, transform, tile.planes, row * width, width)
  }
}
