import type { Picture8 } from '../findings.js'
import type { Tile } from '../raster/Tile.js'
import { encodeRow } from './encode/encodeRow.js'
import { encodingTable } from './encode/encodingTable.js'
import { workingTo } from './working.js'

/** A tile of working linear light as a small sRGB picture for the report; what lies outside sRGB is held at its edge. */
export function toPicture8({ rect: { width, height }, planes }: Tile): Picture8 {
  const codes = new Uint16Array(width * height * 3)
  const clipped = { clippedLow: 0, clippedHigh: 0 }
  encodeRow(planes, 0, workingTo('sRGB'), encodingTable('sRGB'), codes, 0, width * height, clipped)
  // 65535 = 255 * 257.
  return { width, height, rgb: Uint8Array.from(codes, (code) => code / 257 + 0.5) }
}
