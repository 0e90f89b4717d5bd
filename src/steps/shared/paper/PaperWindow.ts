import type { Tile } from '../../../raster/Tile.js'

/** What one small window of a capture shows. */
export interface PaperWindow {
  capture: number
  /** Its middle, 0..1 from edge to edge of the frame. */
  u: number
  v: number
  /** Mean light of each channel as log2, black taken off. */
  light: [number, number, number]
  /** How much green, and red and blue against green, change within it: RMS of block means, log2. */
  toneSpread: number
  colourSpread: number
  clippedPercent: number
}

/** Blocks along a window's side: enough to tell an edge or a wash's end from the paper's grain. */
const BLOCKS = 4
const FLOOR = 1 / 4096
const FULL_SCALE = 0.998

/**
 * Measures a window.
 * @param tile sides are multiples of four
 * @param black level of each channel there, share of full scale
 */
export function measureWindow(
  { rect, planes }: Tile,
  place: Pick<PaperWindow, 'capture' | 'u' | 'v'>,
  black: readonly number[],
): PaperWindow {
  const side = rect.width / BLOCKS
  const sums = planes.map((plane, c) => {
    const blocks = new Float64Array(BLOCKS * BLOCKS)
    for (let y = 0; y < rect.height; y++) {
      const row = Math.floor(y / side) * BLOCKS
      for (let x = 0; x < rect.width; x++) blocks[row + Math.floor(x / side)] += plane[y * rect.width + x]
    }
    return blocks.map((sum) => sum / (side * side) - black[c])
  })
  let clipped = 0
  for (let p = 0; p < planes[0].length; p++) {
    if (planes[0][p] >= FULL_SCALE && planes[1][p] >= FULL_SCALE && planes[2][p] >= FULL_SCALE) clipped++
  }
  const logs = sums.map((blocks) => blocks.map(log2))
  return {
    ...place,
    light: sums.map((blocks) => log2(blocks.reduce((a, b) => a + b, 0) / blocks.length)) as [
      number,
      number,
      number,
    ],
    toneSpread: spread(logs[1]),
    colourSpread: Math.hypot(
      spread(logs[0].map((value, i) => value - logs[1][i])),
      spread(logs[2].map((value, i) => value - logs[1][i])),
    ),
    clippedPercent: (100 * clipped) / planes[0].length,
  }
}

const log2 = (value: number) => Math.log2(Math.max(value, FLOOR))

function spread(values: Float64Array): number {
  const mean = values.reduce((a, b) => a + b, 0) / values.length
  return Math.sqrt(values.reduce((a, b) => a + (b - mean) ** 2, 0) / values.length)
}
