/** Side of the squares that are judged one by one, pixels. */
const BLOCK = 16
/** A square shows structure of the picture where its result is at least this uneven, in multiples of the relief's RMS. */
const STRUCTURED = 0.6
/** The removed part follows the picture where they correlate by more than this, ... */
const FOLLOWS = 0.4
/** ... where it holds more than this share of the picture's own contrast, ... */
const SHARE = 0.08
/**
 * ... and where they have more in common than relief could bring about that is in part taken and in part left: at a gain g
 * that is g (1 - g) of its power, a quarter at most; more than twice as much is not chance.
 */
const BEYOND_RELIEF = 0.6

/** Squares judged, and those of them where structure of the picture is in the removed part. */
export interface Leak {
  squares: number
  leaking: number
}

/**
 * How much of the picture is in what was taken away, without knowing the truth: relief has nothing to do with the picture,
 * so wherever the removed part follows the result's own structure, structure was lost.
 *
 * Per square of 16 x 16 px, trends taken off: r = before - after, h = after; leaking where h is more than noise,
 * correlation(r, h) > 0.4, slope <r, h> / <h, h> > 0.08, and <r, h> beyond what half-removed relief explains. It errs upwards.
 * @param before, after log luminance, `width * height`, row by row
 * @param reliefRms the relief's RMS in the same logarithm
 */
export function leakOf(
  before: Float32Array,
  after: Float32Array,
  width: number,
  height: number,
  reliefRms: number,
): Leak {
  let squares = 0
  let leaking = 0
  const removed = new Float32Array(BLOCK * BLOCK)
  const kept = new Float32Array(BLOCK * BLOCK)
  for (let y = 0; y + BLOCK <= height; y += BLOCK) {
    for (let x = 0; x + BLOCK <= width; x += BLOCK) {
      squares++
      for (let i = 0; i < BLOCK * BLOCK; i++) {
        const at = (y + (i >> 4)) * width + x + (i & 15)
        kept[i] = after[at]
        removed[i] = before[at] - after[at]
      }
      const h = levelled(kept)
      const r = levelled(removed)
      const [hh, rr, rh] = [dot(h, h), dot(r, r), dot(r, h)]
      if (hh < BLOCK * BLOCK * (STRUCTURED * reliefRms) ** 2) continue
      if (
        rh > FOLLOWS * Math.sqrt(hh * rr) &&
        rh > SHARE * hh &&
        rh > BEYOND_RELIEF * BLOCK * BLOCK * reliefRms ** 2
      )
        leaking++
    }
  }
  return { squares, leaking }
}

const dot = (a: Float32Array, b: Float32Array) => a.reduce((sum, v, i) => sum + v * b[i], 0)

/** A square less its mean and its plane of best fit. */
function levelled(values: Float32Array): Float32Array {
  const middle = (BLOCK - 1) / 2
  let [mean, across, down, spread] = [0, 0, 0, 0]
  for (let i = 0; i < values.length; i++) {
    mean += values[i] / values.length
    across += values[i] * ((i & 15) - middle)
    down += values[i] * ((i >> 4) - middle)
    spread += ((i & 15) - middle) ** 2
  }
  return values.map((v, i) => v - mean - (across * ((i & 15) - middle) + down * ((i >> 4) - middle)) / spread)
}
