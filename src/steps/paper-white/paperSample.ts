import type { Tile } from '../../raster/Tile.js'

/** What one small window shows. */
export interface PaperSample {
  tile: Tile
  /** Mean of each channel, linear. */
  mean: [number, number, number]
  /** log2 of the mean green, and of red and blue against green. */
  tone: number
  colour: [number, number]
  /** RMS of 8 x 8 block means: log2 of green, and of the ratios. */
  toneSpread: number
  colourSpread: number
  /** Share of pixels at the upper end of the scale or above, in all channels. */
  clipped: number
}

const BLOCK = 8
const FLOOR = 1 / 4096

/** Measures a window whose sides are multiples of 8. */
export function paperSample(tile: Tile): PaperSample {
  const { width, height } = tile.rect
  const across = width / BLOCK
  const count = across * (height / BLOCK)
  const sums = tile.planes.map(() => new Float64Array(count))
  let clipped = 0
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const i = y * width + x
      const block = (y >> 3) * across + (x >> 3)
      for (let c = 0; c < 3; c++) sums[c][block] += tile.planes[c][i]
      if (Math.min(tile.planes[0][i], tile.planes[1][i], tile.planes[2][i]) >= 0.9995) clipped++
    }
  }
  const mean = sums.map((sum) => sum.reduce((a, b) => a + b, 0) / (width * height)) as PaperSample['mean']
  const logs = sums.map((sum) => sum.map((s) => log2(s / (BLOCK * BLOCK))))
  const reds = logs[0].map((v, i) => v - logs[1][i])
  const blues = logs[2].map((v, i) => v - logs[1][i])
  return {
    tile,
    mean,
    tone: log2(mean[1]),
    colour: [log2(mean[0]) - log2(mean[1]), log2(mean[2]) - log2(mean[1])],
    toneSpread: spread(logs[1]),
    colourSpread: Math.hypot(spread(reds), spread(blues)),
    clipped: clipped / (width * height),
  }
}

const log2 = (value: number) => Math.log2(Math.max(value, 0) + FLOOR)

const spread = (values: Float64Array) => {
  const m = values.reduce((a, b) => a + b, 0) / values.length
  return Math.sqrt(values.reduce((a, b) => a + (b - m) ** 2, 0) / values.length)
}
