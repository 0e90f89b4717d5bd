import type { Raster } from '../raster/Raster.js'

/** Rows of a picture as stored: interleaved, `channels` samples a pixel, 8 or 16 bits by the array's kind. */
export interface StoredRows {
  samples: Uint8Array | Uint16Array
  channels: number
  /** Which of the channels is alpha, if one is. */
  alpha?: number
  /** See-through pixels are laid on white, in the file's own numbers, instead of being reported. */
  onWhite?: boolean
  /** Width of the stored picture and the stored row the first sample belongs to. */
  width: number
  height: number
  firstRow: number
}

/** Rows taken together where the picture is turned on its side, so that the cache holds what is read. */
const BLOCK_ROWS = 32

/**
 * Copies stored rows to where they belong in the upright picture: grey becomes RGB, 8-bit values times 257 (0..255 to
 * 0..65535 exactly), further channels left out, EXIF orientation applied.
 * @param target the upright raster
 * @param orientation EXIF orientation 1..8 (Exif 2.3, tag 0112h)
 * @returns the first stored pixel whose alpha is not opaque, or undefined
 */
export function placeRows(
  target: Raster,
  rows: StoredRows,
  orientation: number,
): { x: number; y: number } | undefined {
  const { samples, channels, width, height, firstRow } = rows
  const count = samples.length / channels / width
  const scale = samples instanceof Uint8Array ? 257 : 1
  const out = target.data
  const laid = rows.onWhite ? rows.alpha : undefined
  const hole = rows.alpha === undefined || rows.onWhite ? undefined : firstHole(rows, rows.alpha)
  if (hole) return hole
  if (orientation === 1 && channels === 3 && samples instanceof Uint16Array) {
    out.set(samples, firstRow * width * 3)
    return undefined
  }
  const { origin, stepX, stepY } = steps(orientation, width, height)
  const green = channels >= 3 ? 1 : 0
  const blue = channels >= 3 ? 2 : 0
  const place = (x: number, y: number) => {
    const from = (y * width + x) * channels
    const to = (origin + x * stepX + (firstRow + y) * stepY) * 3
    out[to] = samples[from] * scale
    out[to + 1] = samples[from + green] * scale
    out[to + 2] = samples[from + blue] * scale
    if (laid === undefined) return
    const share = (samples[from + laid] * scale) / 65535
    for (let c = 0; c < 3; c++) out[to + c] = Math.round(65535 + (out[to + c] - 65535) * share)
  }
  if (orientation < 5) {
    for (let y = 0; y < count; y++) for (let x = 0; x < width; x++) place(x, y)
  } else {
    for (let top = 0; top < count; top += BLOCK_ROWS) {
      const end = Math.min(top + BLOCK_ROWS, count)
      for (let x = 0; x < width; x++) for (let y = top; y < end; y++) place(x, y)
    }
  }
  return undefined
}

/** Where stored pixel (x, y) lands, in pixels: `origin + x * stepX + y * stepY` over the upright picture's rows. */
function steps(orientation: number, width: number, height: number) {
  const right = width - 1
  const bottom = height - 1
  switch (orientation) {
    case 2:
      return { origin: right, stepX: -1, stepY: width }
    case 3:
      return { origin: bottom * width + right, stepX: -1, stepY: -width }
    case 4:
      return { origin: bottom * width, stepX: 1, stepY: -width }
    case 5:
      return { origin: 0, stepX: height, stepY: 1 }
    case 6:
      return { origin: bottom, stepX: height, stepY: -1 }
    case 7:
      return { origin: right * height + bottom, stepX: -height, stepY: -1 }
    case 8:
      return { origin: right * height, stepX: -height, stepY: 1 }
    default:
      return { origin: 0, stepX: 1, stepY: width }
  }
}

function firstHole({ samples, channels, width, firstRow }: StoredRows, alpha: number) {
  const opaque = samples instanceof Uint8Array ? 255 : 65535
  for (let i = alpha; i < samples.length; i += channels) {
    if (samples[i] !== opaque) {
      const pixel = (i - alpha) / channels
      return { x: pixel % width, y: firstRow + Math.floor(pixel / width) }
    }
  }
  return undefined
}
