import type { Probe } from '../Painting.js'
import type { Canvas } from './Canvas.js'
import { PIGMENT_NAMES } from './pigments.js'
import { luminance } from './rememberMark.js'

/** The ground on the mark and beside it must agree this well, or the pair would measure something else. */
const EVEN = 0.04
const LEAST_CONTRAST = 0.06

/**
 * The remembered marks as probes, with the pairs where only the mark itself makes the difference: the ground is even
 * there, nothing was painted over it later, and the mark is visible.
 */
export function measurableMarks(canvas: Canvas): Probe[] {
  const { amounts, marks } = canvas
  const graphite = PIGMENT_NAMES.indexOf('graphite')
  const bare = {
    ...canvas,
    amounts: amounts.map((plane, p) => (p === graphite ? new Float32Array(plane.length) : plane)),
  }
  const close = (a: number, b: number) => Math.abs(a / b - 1) < EVEN
  return marks
    .map(({ kind, pairs, ground }): Probe => {
      const kept = pairs.filter(({ on, beside }, i) => {
        const now = luminance(canvas, beside)
        const [under, next] = kind === 'pencil' ? [luminance(bare, on), luminance(bare, beside)] : ground[i]
        return close(under, next) && close(now, next) && luminance(canvas, on) < (1 - LEAST_CONTRAST) * now
      })
      return { kind, pairs: kept }
    })
    .filter(({ pairs }) => pairs.length > 0)
}
