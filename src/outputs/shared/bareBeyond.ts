import type { Raster } from '../../raster/Raster.js'
import type { Derivation } from '../contract.js'

/**
 * Makes paper white (no ink) of what lies beyond the master's edges in a derivative, in place. Pixels that the edge runs
 * through keep the picture.
 */
export function bareBeyond(
  { width, height, data }: Raster,
  { crop }: Derivation,
  master: { width: number; height: number },
): void {
  const first = (from: number, scale: number) => Math.max(0, Math.floor(-from / scale + 1e-6))
  const end = (from: number, scale: number, side: number, count: number) =>
    Math.min(count, Math.ceil((side - from) / scale - 1e-6))
  const [scaleX, scaleY] = [crop.width / width, crop.height / height]
  const [left, right] = [first(crop.x, scaleX), end(crop.x, scaleX, master.width, width)]
  const [top, foot] = [first(crop.y, scaleY), end(crop.y, scaleY, master.height, height)]
  for (let y = 0; y < height; y++) {
    const row = y * width * 3
    if (y < top || y >= foot) data.fill(0xffff, row, row + width * 3)
    data.fill(0xffff, row, row + left * 3)
    data.fill(0xffff, row + right * 3, row + width * 3)
  }
}
