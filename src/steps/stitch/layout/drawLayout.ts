import type { Picture8 } from '../../../findings.js'
import type { Layer } from '../combine/Layer.js'
import { placements } from '../placements.js'
import type { StitchReading } from '../Reading.js'
import { fromRuns } from '../seams/runs.js'

/** Longest side of the drawing. */
const SIDE_PX = 640

/** The sheet with each of a layer's captures' share in a tint of its own, the captures' outlines dark, the seams black. */
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
    ].map(([x, y]) => place(x, y).map((value) => (value + 0.5) * scale))
    for (const [k, [x0, y0]] of corners.entries()) {
      const [x1, y1] = corners[(k + 1) % 4]
      drawLine(rgb, width, height, x0, y0, x1, y1)
    }
  }
  return { width, height, rgb }
}

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
): void {
  const steps = Math.ceil(Math.max(Math.abs(x1 - x0), Math.abs(y1 - y0)))
  for (let s = 0; s <= steps; s++) {
    const x = Math.min(width - 1, Math.max(0, Math.floor(x0 + ((x1 - x0) * s) / steps)))
    const y = Math.min(height - 1, Math.max(0, Math.floor(y0 + ((y1 - y0) * s) / steps)))
    rgb.set([90, 90, 90], (y * width + x) * 3)
  }
}
