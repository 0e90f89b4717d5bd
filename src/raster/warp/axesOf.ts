import type { PlaneMap } from './PlaneMap.js'

/** A map that can be followed one axis after the other; see the kernel `warpByAxes`. */
export interface Axes {
  /** a, b, c, m3, m4, m5: a row V is read at a X + (b V + c) for the column X, and the column X at m3 X + (m4 Y + m5). */
  numbers: readonly [number, number, number, number, number, number]
  /** Whether X counts the result's rows and Y its columns: the picture lies a quarter turned. */
  sideways: boolean
}

/** Tangent of the largest turn, and the largest shrinking or stretching, up to which one axis after the other is as good. */
const MOST_LEAN = 0.12
const MOST_STRETCH = 1.25

/** How a map is followed axis by axis; undefined where it turns, shears or stretches too much, or is in perspective. */
export function axesOf([m0, m1, m2, m3, m4, m5, m6, m7]: PlaneMap): Axes | undefined {
  if (m6 !== 0 || m7 !== 0) return undefined
  const upright = Math.abs(m4) >= Math.abs(m3)
  const [xx, xy, yx, yy] = upright ? [m0, m1, m3, m4] : [m1, m0, m4, m3]
  const isNear = (value: number) => Math.abs(value) <= MOST_STRETCH && Math.abs(value) >= 1 / MOST_STRETCH
  if (!isNear(xx) || !isNear(yy) || Math.max(Math.abs(xy), Math.abs(yx)) > MOST_LEAN) return undefined
  // On the picture's row V the result's column X is met at Y = (V - yx X - m5) / yy.
  const lean = xy / yy
  return { numbers: [xx - lean * yx, lean, m2 - lean * m5, yx, yy, m5], sideways: !upright }
}
