import type { Picture8 } from '../../../findings.js'
import type { Layer } from '../combine/Layer.js'
import { placements } from '../placements.js'
import type { StitchReading } from '../Reading.js'
import { fromRuns } from '../seams/runs.js'

/** Longest side of the drawing. */
const SIDE_PX = 640

/** Length on the drawing of the residual that nine in ten are shorter than. */
const VECTOR_PX = 14

/** By how much residuals are drawn longer than the sheet is drawn smaller: a round number. */
export function magnification({ vectors, width, height }: StitchReading): number {
  const lengths = vectors.filter(([, , , , counts]) => counts).map(([, , dx, dy]) => Math.hypot(dx, dy))
  const long = lengths.sort((a, b) => a - b)[Math.floor(0.9 * lengths.length)] ?? 0
  const scale = SIDE_PX / Math.max(width, height)
  const wanted = VECTOR_PX / Math.max(long * scale, 1e-6)
  const power = 10 ** Math.floor(Math.log10(wanted))
  const step = [5, 2, 1].find((factor) => factor * power <= wanted) ?? 1
  return Math.min(step * power, 10_000)
}

/**
 * The sheet with each of a layer's captures' share in a tint of its own, the captures' outlines grey, the seams black, and
 * the windows' residuals: lines from where the first capture shows a window to where the second does, longer by
 * `magnification`; windows that do not count are crosses.
 */
export function drawLayout(reading: StitchReading, { seams, captures }: Layer): Picture8 {
  const scale = SIDE_PX / Math.max(reading.width, reading.height)
  const width = Math.max(1, Math.round(reading.width * scale))
  const height = Math.max(1, Math.round(reading.height * scale))
  const rgb = new Uint8Array(width * height * 3)
  const placed = placements(reading)
  const labels = fromRuns(seams.runs, seams.width * seams.height)
  const labelAt = (x: number, y: number) => {
    const i = Math.min(seams.width - 1, Math.floor(x / scale / seams.cellPx))
    const j = Math.min(seams.height - 1, Math.floor(y / scale / seams.cellPx))
    return labels[j * seams.width + i]
  }
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const label = labelAt(x, y)
      const seam = x > 0 && y > 0 && (labelAt(x - 1, y) !== label || labelAt(x, y - 1) !== label)
      rgb.set(seam ? [0, 0, 0] : tint(label), (y * width + x) * 3)
    }
  }
  for (const index of captures) {
    const { width: w, height: h } = reading.captures[index]
    const place = placed[index]
    if (!place) continue
    const corners = [
      [-0.5, -0.5],
      [w - 0.5, -0.5],
      [w - 0.5, h - 0.5],
      [-0.5, h - 0.5],
    ]
    // Points between the corners as well: a lens bends outlines.
    const points = corners.flatMap(([x, y], k) => {
      const [nextX, nextY] = corners[(k + 1) % 4]
      return Array.from({ length: 8 }, (_, i) =>
        place(x + ((nextX - x) * i) / 8, y + ((nextY - y) * i) / 8).map((value) => (value + 0.5) * scale),
      )
    })
    for (const [k, [x0, y0]] of points.entries()) {
      const [x1, y1] = points[(k + 1) % points.length]
      drawLine(rgb, width, height, x0, y0, x1, y1, OUTLINE)
    }
  }
  const longer = magnification(reading)
  for (const [x, y, dx, dy, counts] of reading.vectors) {
    const [px, py] = [(x + 0.5) * scale, (y + 0.5) * scale]
    const line = (x0: number, y0: number, x1: number, y1: number, tone: Tone) =>
      drawLine(rgb, width, height, x0, y0, x1, y1, tone)
    if (!counts) {
      line(px - 3, py - 3, px + 3, py + 3, LEFT_OUT)
      line(px - 3, py + 3, px + 3, py - 3, LEFT_OUT)
      continue
    }
    line(px - 1, py, px + 1, py, RESIDUAL)
    line(px, py - 1, px, py + 1, RESIDUAL)
    line(px, py, px + dx * scale * longer, py + dy * scale * longer, RESIDUAL)
  }
  return { width, height, rgb }
}

type Tone = readonly [number, number, number]
const OUTLINE: Tone = [90, 90, 90]
const RESIDUAL: Tone = [20, 60, 140]
const LEFT_OUT: Tone = [170, 40, 30]

/** Light tints that neighbours in the list do not share. */
function tint(label: number): [number, number, number] {
  if (label < 0) return [255, 255, 255]
  const hue = label * 2.4
  const part = (shift: number) => Math.round(205 + 35 * Math.cos(hue + shift))
  return [part(0), part(2.1), part(4.2)]
}

function drawLine(
  rgb: Uint8Array,
  width: number,
  height: number,
  x0: number,
  y0: number,
  x1: number,
  y1: number,
  tone: Tone,
): void {
  const steps = Math.max(1, Math.ceil(Math.max(Math.abs(x1 - x0), Math.abs(y1 - y0))))
  for (let s = 0; s <= steps; s++) {
    const x = Math.min(width - 1, Math.max(0, Math.floor(x0 + ((x1 - x0) * s) / steps)))
    const y = Math.min(height - 1, Math.max(0, Math.floor(y0 + ((y1 - y0) * s) / steps)))
    rgb.set(tone, (y * width + x) * 3)
  }
}
