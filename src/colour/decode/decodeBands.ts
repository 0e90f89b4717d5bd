import type { HeldPlanes } from '../../raster/heldRegion.js'
import { kernels, scratch } from '../../raster/kernels/kernels.js'
import type { Raster } from '../../raster/Raster.js'
import type { Rect } from '../../raster/Rect.js'
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
  planes: HeldPlanes
}

/** How codes become light: what is brought to the kernel's memory once, and the kernel. */
export interface Decoding {
  curves: InputTransform['curves']
  numbers: ArrayLike<number>
  run(placed: Placed): void
}

/** Fills a tile with its rectangle of a raster by a kernel, band by band. */
export function decodeBands(raster: Raster, tile: Tile, decoding: Decoding): void {
  const { width } = tile.rect
  const bandBytes = rowsAtOnce(width) * width * 4 + 16
  eachBand(raster, tile.rect, decoding, [bandBytes, bandBytes, bandBytes], (run, top, count, blocks) => {
    const planes = blocks as unknown as HeldPlanes
    run(planes)
    const floats = new Float32Array(kernels().memory.buffer)
    for (const [c, plane] of planes.entries()) {
      tile.planes[c].set(floats.subarray(plane / 4, plane / 4 + count), top * width)
    }
  })
}

/** The same into kernel memory, where room for four values lies behind each plane. */
export function decodeHeld(raster: Raster, rect: Rect, decoding: Decoding, planes: HeldPlanes): void {
  eachBand(raster, rect, decoding, [], (run, top) => {
    const [r, g, b] = planes.map((plane) => plane + top * rect.width * 4)
    run([r, g, b])
  })
}

const rowsAtOnce = (width: number) => Math.max(1, Math.floor(BAND_PIXELS / width))

/**
 * Brings a raster's rows to kernel memory, band by band.
 * @param lengths of further blocks that `each` is given
 * @param each calls `run` with the planes to write to
 */
function eachBand(
  raster: Raster,
  { x, y, width, height }: Rect,
  { curves, numbers, run }: Decoding,
  lengths: readonly number[],
  each: (run: (planes: HeldPlanes) => void, top: number, count: number, blocks: readonly number[]) => void,
): void {
  const tables = [...new Set(curves)]
  const atOnce = rowsAtOnce(width)
  // A grid's last node is read with four bytes behind it.
  const [following, data, ...more] = scratch(
    numbers.length * 4 + 4,
    (atOnce * width * 4 + 16) * 1.5,
    ...tables.map(() => CODES * 4),
    ...lengths,
  )
  const places = more.slice(0, tables.length)
  const blocks = more.slice(tables.length)
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
  }
  for (let top = 0; top < height; top += atOnce) {
    const rows = Math.min(atOnce, height - top)
    const count = rows * width
    for (let row = 0; row < rows; row++) {
      const start = ((y + top + row) * raster.width + x) * 3
      words.set(raster.data.subarray(start, start + width * 3), data / 2 + row * width * 3)
    }
    // A last group of fewer than four pixels takes whatever codes lie behind it along.
    each((planes) => run({ ...placed, planes, count: (count + 3) & ~3 }), top, count, blocks)
  }
}
