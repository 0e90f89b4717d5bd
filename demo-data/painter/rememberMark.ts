import { deviceWeights } from '../spectra/deviceWeights.js'
import type { Canvas } from './Canvas.js'
import { mixedLight } from './mixedLight.js'

/**
 * Notes places on the middle of a mark and beside it, and how light the ground is there before the mark is made.
 * @param line x0, y0, ... in pixels
 * @param widthPx the mark's full width
 */
export function rememberMark(
  canvas: Canvas,
  kind: 'pencil' | 'stroke',
  line: Float64Array,
  widthPx: number,
): void {
  const { width, height, pxPerMm } = canvas
  const away = widthPx / 2 + 0.6 * pxPerMm
  const every = Math.max(Math.round((0.8 * pxPerMm) / 3), 1) * 2
  const pairs: { on: [number, number]; beside: [number, number] }[] = []
  for (let i = 2 * every, side = 1; i + 3 < line.length - 2 * every; i += every, side = -side) {
    const [ax, ay, bx, by] = line.subarray(i, i + 4)
    const length = Math.hypot(bx - ax, by - ay) || 1
    const beside: [number, number] = [
      Math.round(ax - (side * away * (by - ay)) / length),
      Math.round(ay + (side * away * (bx - ax)) / length),
    ]
    const on: [number, number] = [Math.round(ax), Math.round(ay)]
    if ([on, beside].every(([x, y]) => x >= 2 && y >= 2 && x < width - 2 && y < height - 2))
      pairs.push({ on, beside })
  }
  const ground = pairs.map(
    ({ on, beside }) => [luminance(canvas, on), luminance(canvas, beside)] as [number, number],
  )
  canvas.marks.push({ kind, pairs, ground })
}

const TRUTH = deviceWeights('truth')

/** Green of the working space stands for luminance: it carries 0.71 of it. */
export function luminance({ width, amounts }: Canvas, [x, y]: readonly [number, number]): number {
  const here = amounts.map((plane) => plane.subarray(y * width + x, y * width + x + 1))
  return mixedLight(here, TRUTH)[1][0]
}
