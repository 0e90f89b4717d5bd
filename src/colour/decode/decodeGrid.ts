import { kernels } from '../../raster/kernels/kernels.js'
import type { Raster } from '../../raster/Raster.js'
import type { Tile } from '../../raster/Tile.js'
import type { InputTransform } from '../InputTransform.js'
import { decodeBands } from './decodeBands.js'
import { decodeGridRow } from './decodeGridRow.js'

/** Smaller regions are done in TypeScript, with the same bits: bringing the grid to the kernel would take longer. */
const KERNEL_PIXELS = 65536

/** Fills a tile with its rectangle of a raster, through a grid. */
export function decodeGrid(raster: Raster, transform: InputTransform & { kind: 'grid' }, tile: Tile): void {
  const { x, y, width, height } = tile.rect
  if (width * height >= KERNEL_PIXELS) {
    const { decodeGridPixels } = kernels()
    const { curves: tables, grid, size } = transform
    decodeBands(raster, tile, {
      curves: tables,
      numbers: grid,
      run: ({ data, count, curves, numbers, planes }) =>
        decodeGridPixels(data, count, ...curves, numbers, size, ...planes),
    })
    return
  }
  for (let row = 0; row < height; row++) {
    const from = ((y + row) * raster.width + x) * 3
    decodeGridRow(raster.data, from, transform, tile.planes, row * width, width)
  }
}
