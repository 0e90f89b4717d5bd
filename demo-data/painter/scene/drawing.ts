import type { Canvas, Place } from '../Canvas.js'
import { pencilLine } from '../pencilLine.js'
import { places } from '../places.js'

/** The pencil drawing under the paint, some of it running out into the margin. */
export function drawing(canvas: Canvas): void {
  const line = (pressure: number, widthMm: number, ...through: Place[]) =>
    pencilLine(canvas, through, pressure, widthMm)
  line(0.5, 0.35, [0.02, 0.452], [0.3, 0.4515], [0.64, 0.4525])
  line(0.6, 0.4, [0.585, 0.391], [0.75, 0.377], [0.975, 0.36])
  line(0.5, 0.35, [0.6, 0.508], [0.75, 0.548], [0.972, 0.608])
  line(0.65, 0.4, [0.06, 0.35], [0.13, 0.34], [0.2, 0.342], [0.28, 0.378], [0.4, 0.44])
  line(0.6, 0.3, [0.632, 0.392], [0.637, 0.268], [0.657, 0.268], [0.662, 0.392])
  line(0.55, 0.35, [0.648, 0.21], [0.647, 0.13], [0.6475, 0.02])
  for (const [u0, u1, eaves, ridge] of [
    [0.737, 0.789, 0.318, 0.282],
    [0.827, 0.882, 0.292, 0.25],
  ]) {
    line(0.7, 0.3, [u0, 0.378], [u0, eaves], [u0 + 0.008, ridge])
    line(0.7, 0.3, [u1, 0.372], [u1, eaves], [u1 - 0.005, ridge])
    line(0.7, 0.35, [u0 + 0.004, ridge + 0.001], [u1 - 0.003, ridge - 0.002])
  }
  hull(canvas, 0.235, 0.655, 0.3, 9)
  hull(canvas, 0.765, 0.69, 0.24, -8)
  line(0.75, 0.4, [0.545, 0.798], [0.575, 0.812], [0.63, 0.815], [0.675, 0.803], [0.692, 0.79])
  line(
    0.6,
    0.35,
    ...places(`
  0.36 0.571, 0.388 0.59, 0.462 0.609, 0.482 0.63, 0.43 0.66, 0.335 0.695, 0.27 0.74,
  0.285 0.8
`),
  )
  // Notes in the margin: ticks, a trial hatch, a scribble.
  for (let i = 0; i < 9; i++) line(0.75, 0.35, [0.06 + i * 0.006, 0.965], [0.068 + i * 0.006, 0.95])
  const scribble: Place[] = Array.from({ length: 26 }, (_, i) => [
    0.83 + i * 0.0044,
    0.962 + 0.008 * Math.sin(i * 1.9) * (i % 7 < 5 ? 1 : 0.25),
  ])
  line(0.8, 0.4, ...scribble)
  line(0.55, 0.3, [0.3, 0.962], [0.34, 0.9605], [0.42, 0.962])
}

/** A boat's sheer and stem, drawn twice as a hand does that looks for the line. */
function hull(canvas: Canvas, u: number, v: number, size: number, leanDeg: number): void {
  const c = Math.cos((leanDeg * Math.PI) / 180)
  const s = Math.sin((leanDeg * Math.PI) / 180)
  const at = (x: number, y: number): Place => [
    u + ((c * x + s * y) * size * canvas.height) / canvas.width,
    v + (s * x - c * y) * size,
  ]
  for (const [again, pressure] of [
    [0, 0.8],
    [0.012, 0.45],
  ]) {
    pencilLine(
      canvas,
      [
        at(-0.56, 0.25 + again),
        at(-0.35, 0.17 + again),
        at(-0.1, 0.135 + again),
        at(0.15, 0.14 + again),
        at(0.36, 0.175),
        at(0.54, 0.22),
      ],
      pressure,
      0.4,
    )
    pencilLine(
      canvas,
      [at(-0.53, 0.24), at(-0.47 - again, 0.12), at(-0.4, 0.02 - again), at(-0.25, -0.045)],
      pressure,
      0.35,
    )
  }
  pencilLine(canvas, [at(-0.07, 0.14), at(-0.064, 0.6), at(-0.055, 1.25)], 0.6, 0.35)
  pencilLine(canvas, [at(-0.06, 0.95), at(-0.32, 0.55), at(-0.57, 0.19)], 0.55, 0.3)
}
