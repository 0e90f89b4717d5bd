import type { Raster } from '../../raster/Raster.js'
import type { Tile } from '../../raster/Tile.js'
import type { InputTransform } from '../InputTransform.js'
import { decodeGridRow } from './decodeGridRow.js'

/** Fills a tile with its rectangle of a raster, through a grid. */
export function decodeGrid(raster: Raster, transform: InputTransform & { kind: 'grid' }, tile: Tile): void {
  const { x, y, width, height } = tile.rect
  for (let row = 0; row < height; row++) {
    const from = ((y + row) * raster.width + x) * 3
    decodeGridRow(raster.data, from, transform, tile.planes, row * width, width)
  }
}
