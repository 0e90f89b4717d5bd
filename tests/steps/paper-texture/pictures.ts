import type { Tile } from '../../../src/raster/Tile.js'

/** A seeded source of numbers from -1 to 1. */
export function noise(seed: number): () => number {
  let state = seed
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0
    return state / 2 ** 31 - 1
  }
}

/**
 * A sheet of even paper with relief of a plain wave and grain, and where asked a dark square and a coloured one, and noise
 * of each channel's own.
 */
export function sheet(
  width: number,
  height: number,
  options: { relief?: number; painted?: boolean; sensor?: number } = {},
): Tile {
  const { relief = 0.05, painted = false, sensor = 0 } = options
  const random = noise(7)
  const own = noise(23)
  const grain = Float32Array.from({ length: width * height }, random)
  const planes = [0, 1, 2].map(() => new Float32Array(width * height)) as Tile['planes']
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const i = y * width + x
      const near = (grain[i] + grain[Math.max(0, i - 1)] + grain[Math.max(0, i - width)]) / 2
      const shade = 1 + relief * (Math.sin(0.61 * x + 0.23 * y) + near)
      const inSquare = (at: number) => x > at && x < at + width / 4 && y > height / 4 && y < height / 2
      let rgb = [0.86, 0.84, 0.78]
      if (painted && inSquare(width / 8)) rgb = [0.2, 0.21, 0.2]
      if (painted && inSquare(width / 2)) rgb = [0.3, 0.45, 0.7]
      for (let c = 0; c < 3; c++) planes[c][i] = rgb[c] * shade + sensor * own()
    }
  }
  return { rect: { x: 0, y: 0, width, height }, planes }
}

/** RMS of the logarithm of green in a region, about its mean. */
export function unevenness(tile: Tile, x0: number, y0: number, size: number): number {
  let sum = 0
  let squares = 0
  for (let y = y0; y < y0 + size; y++) {
    for (let x = x0; x < x0 + size; x++) {
      const v = Math.log(tile.planes[1][(y - tile.rect.y) * tile.rect.width + x - tile.rect.x])
      sum += v
      squares += v * v
    }
  }
  const n = size * size
  return Math.sqrt(squares / n - (sum / n) ** 2)
}
