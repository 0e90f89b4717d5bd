import { kernels, scratch } from '../../raster/kernels/kernels.js'
import type { Raster } from '../../raster/Raster.js'
import type { Tile } from '../../raster/Tile.js'
import { CODES } from '../curves/curveTable.js'
import type { InputTransform } from '../InputTransform.js'
import { decodeMatrixRow } from './decodeMatrixRow.js'

/** Pixels at once: what goes in and out stays in the processor's cache. */
const BAND_PIXELS = 16384

/** Smaller regions are done in TypeScript, with the same bits: bringing the tables to the kernel would take longer. */
const KERNEL_PIXELS = 8192

/** Fills a tile with its rectangle of a raster, by a curve for each channel and a matrix. */
export function decodeMatrix(
  raster: Raster,
  transform: InputTransform & { kind: 'matrix' },
  tile: Tile,
): void {
  const { x, y, width, height } = tile.rect
  const from = (row: number) => ((y + row) * raster.width + x) * 3
  if (width * height < KERNEL_PIXELS) {
    for (let row = 0; row < height; row++) {
      decodeMatrixRow(raster.data, from(row), transform, tile.planes, row * width, width)
    }
    return
  }
  const tables = [...new Set(transform.curves)]
  const rowsAtOnce = Math.max(1, Math.floor(BAND_PIXELS / width))
  const bandBytes = rowsAtOnce * width * 4 + 16
  const [matrix, data, r, g, b, ...curves] = scratch(
    36,
    bandBytes * 1.5,
    bandBytes,
    bandBytes,
    bandBytes,
    ...tables.map(() => CODES * 4),
  )
  const { memory, decodePixels } = kernels()
  const floats = new Float32Array(memory.buffer)
  const words = new Uint16Array(memory.buffer)
  floats.set(transform.matrix, matrix / 4)
  tables.forEach((table, i) => {
    floats.set(table, curves[i] / 4)
  })
  const [curveR, curveG, curveB] = transform.curves.map((curve) => curves[tables.indexOf(curve)])
  for (let top = 0; top < height; top += rowsAtOnce) {
    const rows = Math.min(rowsAtOnce, height - top)
    const count = rows * width
    for (let row = 0; row < rows; row++) {
      const start = from(top + row)
      words.set(raster.data.subarray(start, start + width * 3), data / 2 + row * width * 3)
    }
    // A last group of fewer than four pixels takes whatever codes lie behind it along.
    decodePixels(data, (count + 3) & ~3, curveR, curveG, curveB, matrix, r, g, b)
    for (const [c, plane] of [r, g, b].entries()) {
      tile.planes[c].set(floats.subarray(plane / 4, plane / 4 + count), top * width)
    }
  }
}
