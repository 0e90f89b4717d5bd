import type { HeldPlanes } from '../../../raster/heldRegion.js'
import { kernels, scratch } from '../../../raster/kernels/kernels.js'
import type { Rect } from '../../../raster/Rect.js'
import type { Tile } from '../../../raster/Tile.js'
import { distorted, type Lens } from '../../../raster/warp/Lens.js'
import { mapPoint, type PlaneMap } from '../../../raster/warp/PlaneMap.js'
import { FLAT, fieldFactor, fieldTerms, type LightField } from './LightField.js'

/** A field's logarithm as a polynomial of the sheet's pixels: 1, x, y, x^2, x y, y^2. */
export type Polynomial = [one: number, x: number, y: number, xx: number, xy: number, yy: number]

/** A field on the sheet: a polynomial, or, in perspective or behind a lens, its logarithm place by place. */
export type SheetField = Polynomial | ((x: number, y: number) => number)

/**
 * A capture's field where its pixels land on the sheet.
 * @param fromSheet from the sheet's pixels to the capture's, or to where they would be seen without its lens
 * @returns undefined where the field is flat
 */
export function fieldOnSheet(
  field: LightField | undefined,
  fromSheet: PlaneMap,
  { width, height }: { width: number; height: number },
  lens?: Lens,
): SheetField | undefined {
  if (!field || field.every((value, k) => value === FLAT[k])) return undefined
  const [a, b, c, d, e, f, g, h] = fromSheet
  if (lens || g !== 0 || h !== 0) {
    return (x, y) => {
      const ideal = mapPoint(fromSheet, x, y)
      const [px, py] = lens ? distorted(lens, ...ideal) : ideal
      const terms = fieldTerms((2 * (px + 0.5)) / width - 1, (2 * (py + 0.5)) / height - 1)
      return terms.reduce((sum, term, k) => sum + term * field[k], 0)
    }
  }
  // u = ux x + uy y + u1, from -1 to 1 between the outer edges of the capture's pixels; v likewise.
  const [ux, uy, u1] = [(2 * a) / width, (2 * b) / width, (2 * (c + 0.5)) / width - 1]
  const [vx, vy, v1] = [(2 * d) / height, (2 * e) / height, (2 * (f + 0.5)) / height - 1]
  const [fu, fv, fuu, fuv, fvv] = field
  return [
    fu * u1 + fv * v1 + fuu * u1 * u1 + fuv * u1 * v1 + fvv * v1 * v1,
    fu * ux + fv * vx + 2 * fuu * ux * u1 + fuv * (ux * v1 + vx * u1) + 2 * fvv * vx * v1,
    fu * uy + fv * vy + 2 * fuu * uy * u1 + fuv * (uy * v1 + vy * u1) + 2 * fvv * vy * v1,
    fuu * ux * ux + fuv * ux * vx + fvv * vx * vx,
    2 * fuu * ux * uy + fuv * (ux * vy + uy * vx) + 2 * fvv * vx * vy,
    fuu * uy * uy + fuv * uy * vy + fvv * vy * vy,
  ]
}

/** Multiplies a tile of the sheet by a field; it changes in place. */
export function levelOut({ rect, planes }: Tile, field: SheetField): void {
  const [r, g, b] = planes
  const place = typeof field === 'function' ? field : undefined
  const [one, x, y, xx, xy, yy] = typeof field === 'function' ? [0, 0, 0, 0, 0, 0] : field
  for (let j = 0, i = 0; j < rect.height; j++) {
    const sy = rect.y + j
    for (let k = 0; k < rect.width; k++, i++) {
      const sx = rect.x + k
      const log = place ? place(sx, sy) : one + sx * (x + xx * sx + xy * sy) + sy * (y + yy * sy)
      const factor = fieldFactor(log)
      r[i] *= factor
      g[i] *= factor
      b[i] *= factor
    }
  }
}

/** The same in kernel memory, then a gain for each channel: the bits of `levelOut` and a multiplication in float32. */
export function levelHeld(
  planes: HeldPlanes,
  rect: Rect,
  field: SheetField | undefined,
  gain: readonly [r: number, g: number, b: number],
): void {
  const [at] = scratch(48)
  const { memory, levelPlanes } = kernels()
  if (Array.isArray(field)) new Float64Array(memory.buffer, at, 6).set(field)
  else if (field) {
    const views = planes.map((plane) => new Float32Array(memory.buffer, plane, rect.width * rect.height))
    levelOut({ rect, planes: views as Tile['planes'] }, field)
  }
  const { x, y, width, height } = rect
  levelPlanes(...planes, x, y, width, height, Array.isArray(field) ? at : 0, ...gain)
}
