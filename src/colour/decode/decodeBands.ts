import { kernels, scratch } from '../../raster/kernels/kernels.js'
import type { Raster } from '../../raster/Raster.js'
import type { Tile } from '../../raster/Tile.js'
import { CODES } from '../curves/curveTable.js'
import type { InputTransform } from '../InputTransform.js'

/** Pixels at once: what goes in and out stays in the processor's cache. */
const BAND_PIXELS = 16384

/** Where things lie in the kernel's memory. */
export interface Placed {
  /** Interleaved codes of `count` pixels, a multiple of 4. */
  data: number
  count: number
  curves: readonly [number, number, number]
  /** What follows the curves: a matrix or a grid. */
  numbers: number
  planes: readonly [number, number, number]
}

/**
 * Fills a tile with its rectangle of a raster by a kernel, band by band.
 * @param numbers what follows the curves, brought to the kernel's memory once
 * @param run calls the kernel
 */
export function decodeBands(
  raster: Raster,
  tile: Tile,
  curves: InputTransform['curves'],
  numbers: ArrayLike<number>,
  run: (placed: Placed) => void,
): void {
  const { x, y, width, height } = tile.rect
  const tables = [...new Set(curves)]
  const rowsAtOnce = Math.max(1, Math.floor(BAND_PIXELS / width))
  const bandBytes = rowsAtOnce * width * 4 + 16
  // A grid's last node is read with four bytes behind it.
  const [following, data, r, g, b, ...places] = scratch(
    numbers.length * 4 + 4,
    bandBytes * 1.5,
    bandBytes,
    bandBytes,
    bandBytes,
    ...tables.map(() => CODES * 4),
  )
  const { buffer } = kernels().memory
  const floats = new Float32Array(buffer)
  const words = new Uint16Array(buffer)
  floats.set(numbers, following / 4)
  tables.forEach((table, i) => {
    floats.set(table, places[i] / 4)
  })
  const placed = {
    data,
    curves: curves.map((curve) => places[tables.indexOf(curve)]) as [number, number, number],
    numbers: following,
    planes: [r, g, b] as const,
  }
  for (let top = 0; top < height; top += rowsAtOnce) {
    const rows = Math.min(rowsAtOnce, height - top)
    const count = rows * width
    for (let row = 0; row < rows; row++) {
      const start = ((y + top + row) * raster.width + x) * 3
      words.set(raster.data.subarray(start, start + width * 3), data / 2 + row * width * 3)
    }
    // A last group of fewer than four pixels takes whatever codes lie behind it along.
    run({ ...placed, count: (count + 3) & ~3 })
    for (const [c, plane] of placed.planes.entries()) {
      tile.planes[c].set(floats.subarray(plane / 4, plane / 4 + count), top * width)
    }
  }
}
