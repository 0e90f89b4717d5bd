import type { Canvas, Place } from './Canvas.js'
import { PIGMENT_NAMES } from './pigments.js'
import { rememberMark } from './rememberMark.js'
import { smoothNoise } from './smoothNoise.js'
import { strokeLine } from './strokeLine.js'
import { tracedStroke } from './tracedStroke.js'

const GRAPHITE = PIGMENT_NAMES.indexOf('graphite')

/**
 * A pencil line: graphite rubs off on the sheet's tops and leaves its pits.
 * @param pressure 0..1, how dark
 * @param widthMm 0.3 to 0.5 for a writing point
 */
export function pencilLine(canvas: Canvas, through: readonly Place[], pressure = 0.6, widthMm = 0.4): void {
  const { width, height, pxPerMm, amounts, grain } = canvas
  const line = strokeLine(canvas, through, 0.05 * pxPerMm)
  const half = new Float64Array(line.length / 2).fill((widthMm * pxPerMm) / 2)
  const trace = tracedStroke(line, half, width, height)
  if (!trace) return
  rememberMark(canvas, 'pencil', line, widthMm * pxPerMm)
  const hand = smoothNoise(Math.floor(canvas.random.next() * 1e6), 2)
  const { rect, across, along } = trace
  const graphite = amounts[GRAPHITE]
  for (let y = 0, at = 0; y < rect.height; y++) {
    for (let x = 0; x < rect.width; x++, at++) {
      const s = Math.abs(across[at])
      if (s > 1.6) continue
      const to = (rect.y + y) * width + rect.x + x
      const press = pressure * (1 + 0.45 * hand(along[at] / (6 * pxPerMm), 3))
      // A round point: full in the middle, falling off towards the sides over about a pixel and a half.
      const profile = Math.min(Math.max((1.12 - s) * 2.2, 0), 1)
      const caught = Math.min(Math.max((grain[to] + 0.35 + press) / 1.1, 0), 1)
      graphite[to] = Math.max(graphite[to], 1.05 * press * profile * (0.12 + 0.88 * caught))
    }
  }
}
