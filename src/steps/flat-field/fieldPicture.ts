import type { Picture8 } from '../../findings.js'
import { gridWeights } from './gridWeights.js'
import { luminance } from './luminance.js'
import type { Reading } from './Reading.js'

const SIDE_PX = 480

/** Where blank paper was found. */
const PLACE = [30, 90, 200]

/** The step between contour lines, percent of the brightest place: the finest that leaves at most eight lines. */
export function contourStepPercent(unevenPercent: number): number {
  return [0.25, 0.5, 1, 2, 5, 10].find((step) => unevenPercent / step <= 8) ?? 20
}

/**
 * The lamp field as a grey map, brightest place white, stretched to the range it has, with contour lines at equal
 * steps of light.
 */
export function fieldPicture({
  gains,
  columns,
  rows,
  widthPx,
  heightPx,
  unevenPercent,
  margins,
}: Pick<
  Reading,
  'gains' | 'columns' | 'rows' | 'widthPx' | 'heightPx' | 'unevenPercent' | 'margins'
>): Picture8 {
  const scale = SIDE_PX / Math.max(widthPx, heightPx)
  const width = Math.max(16, Math.round(widthPx * scale))
  const height = Math.max(16, Math.round(heightPx * scale))
  const across = gridWeights(width, columns)
  const down = gridWeights(height, rows)
  const field = new Float64Array(width * height)
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const light = gains.map((grid) => {
        let gain = 0
        for (let j = 0; j < 4; j++) {
          for (let i = 0; i < 4; i++) {
            const node = (down.first[y] + j) * columns + across.first[x] + i
            gain += down.weights[4 * y + j] * across.weights[4 * x + i] * grid[node]
          }
        }
        return 1 / gain
      })
      field[y * width + x] = luminance(...(light as [number, number, number]))
    }
  }
  const most = field.reduce((a, b) => Math.max(a, b))
  const least = field.reduce((a, b) => Math.min(a, b))
  // At least two per cent of range: an even lamp shall look even.
  const range = Math.max(most - least, 0.02 * most)
  const step = (contourStepPercent(unevenPercent.luminance) / 100) * most
  const rgb = new Uint8Array(3 * width * height)
  for (let p = 0; p < field.length; p++) {
    const grey = Math.round(245 - (205 * (most - field[p])) / range)
    const level = Math.floor((most - field[p]) / step)
    const right = p % width < width - 1 && Math.floor((most - field[p + 1]) / step) !== level
    const below = p + width < field.length && Math.floor((most - field[p + width]) / step) !== level
    rgb.fill(right || below ? (grey > 128 ? 20 : 235) : grey, 3 * p, 3 * p + 3)
  }
  for (const [u, v] of margins?.places ?? []) {
    const [x, y] = [Math.min(width - 2, Math.floor(u * width)), Math.min(height - 2, Math.floor(v * height))]
    for (const p of [y * width + x, y * width + x + 1, (y + 1) * width + x, (y + 1) * width + x + 1]) {
      rgb.set(PLACE, 3 * p)
    }
  }
  return { width, height, rgb }
}
