import { sineWindow } from '../../../raster/fft/sineWindow.js'
import type { Rect } from '../../../raster/Rect.js'
import { crosswiseGain, crosswiseWindows } from './slopes.js'

const N = 64
const STEP = N / 2

/**
 * The rectangle of slopes along the lamp that slopes across it need on `rect`. Windows lie on a grid of the sheet, two at
 * a time in a fixed order, so that a place has the same bits whatever the rectangle.
 */
export function reachOfSlopes({ x, y, width, height }: Rect): Rect {
  const first = (at: number, every: number) => Math.floor(at / every) * every - every
  const x0 = first(x, N)
  const y0 = first(y, STEP)
  const x1 = Math.ceil((x + width) / N) * N + STEP
  const y1 = (Math.ceil((y + height) / STEP) + 1) * STEP
  return { x: x0, y: y0, width: x1 - x0, height: y1 - y0 }
}

/**
 * Slopes across the lamp, from those along it.
 * @param along on `area`, which `reachOfSlopes` gave for `rect`
 * @param axisDeg the lamp's direction
 */
export function slopesAcross(along: Float32Array, area: Rect, rect: Rect, axisDeg: number): Float32Array {
  const window = sineWindow(N)
  const gain = crosswiseGain(N, axisDeg)
  const out = new Float32Array(rect.width * rect.height)
  const [re, im] = [new Float32Array(N * N), new Float32Array(N * N)]
  for (let y = area.y; y + N <= area.y + area.height; y += STEP) {
    for (let x = area.x; x + N + STEP <= area.x + area.width; x += N) {
      for (let j = 0; j < N; j++) {
        const from = (y - area.y + j) * area.width + x - area.x
        re.set(along.subarray(from, from + N), j * N)
        im.set(along.subarray(from + STEP, from + STEP + N), j * N)
      }
      crosswiseWindows(re, im, N, window, gain)
      add(re, x, y, out, rect)
      add(im, x + STEP, y, out, rect)
    }
  }
  return out
}

function add(part: Float32Array, x: number, y: number, out: Float32Array, rect: Rect): void {
  const [left, right] = [Math.max(x, rect.x), Math.min(x + N, rect.x + rect.width)]
  for (let row = Math.max(y, rect.y); row < Math.min(y + N, rect.y + rect.height); row++) {
    let from = (row - y) * N + left - x
    let to = (row - rect.y) * rect.width + left - rect.x
    for (let column = left; column < right; column++) out[to++] += part[from++]
  }
}
