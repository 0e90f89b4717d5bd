import { halfExtent, type Upright } from '../views/Upright.js'

/**
 * A smooth factor over a capture: the logarithm's coefficients of x, y, x^2, x y, y^2, with x and y from -1 to 1 across
 * and down the capture as it lies on disk, where a device's own falloff stays the same however the sheet is turned.
 */
export type LightField = [x: number, y: number, xx: number, xy: number, yy: number]

export const FLAT: LightField = [0, 0, 0, 0, 0]

/** What a capture's light is multiplied by: one factor a channel, times `fieldFactor` of the field's value. */
export interface Correction {
  gain: [r: number, g: number, b: number]
  field: LightField
}

/** The five terms a field's coefficients multiply, at a place from -1 to 1 across and down the capture on disk. */
export const fieldTerms = (u: number, v: number): LightField => [u, v, u * u, u * v, v * v]

/** The factor of a field's value: its exponential to the second order, within 0.02 % up to 10 %, without a call. */
export const fieldFactor = (log: number): number => 1 + log + (log * log) / 2

/** Where a point of a capture, in centred coordinates, lies on disk: -1 to 1 across and down. */
export function onDisk(upright: Upright, x: number, y: number): [u: number, v: number] {
  const [halfX, halfY] = halfExtent(upright)
  const [u, v] = [x / halfX, y / halfY]
  if (upright.turned === 90) return [-v, u]
  if (upright.turned === 180) return [-u, -v]
  if (upright.turned === 270) return [v, -u]
  return [u, v]
}

/** A field's factor at a point of a capture in centred coordinates. */
export function fieldAt(field: LightField, upright: Upright, x: number, y: number): number {
  const [fu, fv, fuu, fuv, fvv] = field
  if (fu === 0 && fv === 0 && fuu === 0 && fuv === 0 && fvv === 0) return 1
  const [u, v] = onDisk(upright, x, y)
  return fieldFactor(u * fu + v * fv + u * u * fuu + u * v * fuv + v * v * fvv)
}
