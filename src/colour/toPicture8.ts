import type { Picture8 } from '../findings.js'
import type { Tile } from '../raster/Tile.js'
import { encodePlanes } from './encode/encodePlanes.js'

/** A tile of working linear light as a small sRGB picture for the report; what lies outside sRGB is held at its edge. */
export function toPicture8(tile: Tile): Picture8 {
  const { width, height } = tile.rect
  const rgb = new Uint8Array(width * height * 3)
  encodePlanes(tile, 'sRGB', (row, codes) => {
    const to = row * width * 3
    // 65535 = 255 * 257.
    for (let i = 0; i < codes.length; i++) rgb[to + i] = codes[i] / 257 + 0.5
  })
  return { width, height, rgb }
}
