import type { Canvas, Place } from './Canvas.js'
import type { Mix } from './layWash.js'
import { PIGMENT_NAMES } from './pigments.js'
import { rememberMark } from './rememberMark.js'
import { smoothNoise } from './smoothNoise.js'
import { strokeLine } from './strokeLine.js'
import { tracedStroke } from './tracedStroke.js'

export interface Stroke {
  through: readonly Place[]
  /** Full width in shares of the picture's height; the brush lifts towards the ends by `taper` 0..1. */
  width: number
  /** Smallest width in mm: a brush has a point. */
  leastMm?: number
  taper?: number
  paint: Partial<Mix>
  /** 0 a loaded brush, 1 hardly any water: only the sheet's tops take paint, and hairs show. */
  dry?: number
  /** Paint gathered along the sides. */
  pool?: number
  /** Share of paint left at the end. */
  fade?: number
  masked?: boolean
  /** Remembered as a mark that can be measured. */
  measured?: boolean
}

/** One stroke of the brush over what is there. */
export function brushStroke(canvas: Canvas, stroke: Stroke): void {
  const { width, height, pxPerMm, amounts, grain, reserve } = canvas
  const { taper = 0.5, dry = 0, pool = 0.35, fade = 0.85, masked = false, leastMm = 0.25 } = stroke
  const widthPx = Math.max(stroke.width * height, leastMm * pxPerMm)
  const line = strokeLine(canvas, stroke.through, 0.02 * widthPx)
  const seed = Math.floor(canvas.random.next() * 1e6)
  const sway = smoothNoise(seed + 2, 2)
  const half = Float64Array.from({ length: line.length / 2 }, (_, i) => {
    const t = i / (line.length / 2 - 1)
    const lift = 1 - taper * Math.max(1 - t * 6, (t - 0.7) / 0.3, 0) ** 1.5
    const waver = 1 + 0.28 * sway((i * 3) / (2.2 * widthPx), 0.5)
    return Math.max((widthPx / 2) * lift * waver, 0.45)
  })
  const trace = tracedStroke(line, half, width, height)
  if (!trace) return
  if (stroke.measured) rememberMark(canvas, 'stroke', line, widthPx)
  const hairs = smoothNoise(seed, 2)
  const load = smoothNoise(seed + 1)
  const edgePx = Math.max(0.08 * pxPerMm, 0.7)
  const poolPx = 0.3 * pxPerMm
  const paint = PIGMENT_NAMES.map((name) => stroke.paint[name] ?? 0)
  const { rect, across, along, lengthPx } = trace
  for (let y = 0, at = 0; y < rect.height; y++) {
    for (let x = 0; x < rect.width; x++, at++) {
      const s = across[at]
      if (s > 1.4 || s < -1.4) continue
      const to = (rect.y + y) * width + rect.x + x
      const t = along[at] / (lengthPx + 1)
      const halfPx = half[Math.min(Math.floor(t * half.length), half.length - 1)]
      const inside = (1 - Math.abs(s)) * halfPx + 0.04 * pxPerMm * grain[to]
      let cover = Math.min(Math.max(inside / edgePx + 0.5, 0), 1)
      if (cover <= 0) continue
      cover *= 1 + pool * Math.exp(-Math.max(inside, 0) / poolPx)
      cover *= 1 + (fade - 1) * t
      cover *= 1 + 0.2 * load(along[at] / (1.5 * widthPx), s)
      if (dry > 0) {
        const drier = dry * (0.45 + 0.75 * t)
        const hair = hairs(s * 5, along[at] / (9 * widthPx))
        const reach = grain[to] + 0.9 * hair - (4.2 * drier - 2.6)
        cover *= Math.min(Math.max(reach / 0.7 + 0.5, 0), 1)
      }
      if (masked) cover *= 1 - reserve[to]
      for (let p = 0; p < paint.length; p++) if (paint[p] > 0) amounts[p][to] += cover * paint[p]
    }
  }
}
