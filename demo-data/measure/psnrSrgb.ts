import { space } from '../../src/colour/spaces/space.js'
import { workingTo } from '../../src/colour/working.js'
import type { Tile } from '../../src/raster/Tile.js'

/**
 * Peak signal-to-noise ratio in decibels between two tiles of working light, on sRGB-encoded values 0..1.
 * Formula: -10 log10(mean of squared differences over pixels and channels). What lies outside sRGB is held at its edge.
 */
export function psnrSrgb(truth: Tile, picture: Tile): number {
  const [a, b] = [truth, picture].map(({ planes: [red, green, blue] }) => ({ red, green, blue }))
  const m = workingTo('sRGB')
  let squares = 0
  for (let i = 0; i < a.red.length; i++) {
    for (let row = 0; row < 9; row += 3) {
      const want = m[row] * a.red[i] + m[row + 1] * a.green[i] + m[row + 2] * a.blue[i]
      const have = m[row] * b.red[i] + m[row + 1] * b.green[i] + m[row + 2] * b.blue[i]
      squares += (encoded(want) - encoded(have)) ** 2
    }
  }
  return -10 * Math.log10(squares / (3 * a.red.length))
}

const NODES = 4096
const { encode } = space('sRGB')
/** The square root straightens the curve's start, so that a table of it is exact enough (error below 1e-5). */
const TABLE = Float64Array.from({ length: NODES + 2 }, (_, i) => encode(Math.min((i / NODES) ** 2, 1)))

function encoded(linear: number): number {
  const place = Math.sqrt(Math.min(Math.max(linear, 0), 1)) * NODES
  const node = place | 0
  return TABLE[node] + (place - node) * (TABLE[node + 1] - TABLE[node])
}
