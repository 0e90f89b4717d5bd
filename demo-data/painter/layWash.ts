import type { Rect } from '../../src/raster/Rect.js'
import type { Canvas, Place } from './Canvas.js'
import type { Field } from './Field.js'
import { fieldRow } from './fieldRow.js'
import { insideDistance } from './insideDistance.js'
import { PIGMENT_NAMES, type PigmentName } from './pigments.js'
import { emptyField, sampledField } from './sampledField.js'
import { smoothOutline } from './smoothOutline.js'

export type Mix = Record<PigmentName, number>

export interface Wash {
  /** Closed outline. */
  outline: readonly Place[]
  /** Rounds the outline's corners. */
  rounded?: boolean
  /** Amounts at a place; `mix` arrives as zeros. */
  mix(u: number, v: number, mix: Mix): void
  /** How far the brush strays from the outline, and over what length. */
  wanderMm?: number
  wanderLengthMm?: number
  /** How the edge frays in the sheet's grain. */
  frayMm?: number
  /** Width of the edge: dry (hard) and where it ran into wet paper; `lost` is the share of the edge that is lost so. */
  hardMm?: number
  softMm?: number
  lost?: number
  /** Paint that gathers at a drying edge: how much more, and how far in. */
  pool?: number
  poolMm?: number
  /** Whether it leaves masked paper free (it does by default). */
  masked?: boolean
}

/** Lays a wash: amounts vary slowly inside, gather at hard edges, and run out where the edge is lost in wet paper. */
export function layWash(canvas: Canvas, wash: Wash): void {
  const { width, height, pxPerMm, amounts, grain, reserve } = canvas
  const { hardMm = 0.09, frayMm = 0.05, pool = 0.5, poolMm = 0.45, softMm = 0, masked = true } = wash
  const outline = wash.rounded ? smoothOutline(wash.outline, true) : wash.outline
  const px = Float64Array.from(outline.flatMap(([u, v]) => [u * width, v * height]))
  const rect = boundsOf(px, (softMm + (wash.wanderMm ?? 0.5) * 2 + 1) * pxPerMm, width, height)
  if (!rect) return
  const step = rect.width * rect.height > 400_000 ? 4 : 2
  const distance = distanceField(canvas, wash, px, rect, step)
  const softness = softMm > 0 ? softField(canvas, wash, rect) : undefined
  const laid = mixFields(canvas, wash, rect)
  const d = new Float32Array(rect.width)
  const soft = new Float32Array(rect.width)
  const factor = new Float32Array(rect.width)
  const amount = new Float32Array(rect.width)
  const fray = frayMm * pxPerMm
  const hard = hardMm * pxPerMm
  const gather = 1 / (poolMm * pxPerMm)
  for (let y = rect.y; y < rect.y + rect.height; y++) {
    fieldRow(distance, y, d)
    if (softness) fieldRow(softness, y, soft)
    const at = y * width + rect.x
    for (let x = 0; x < rect.width; x++) {
      const edge = hard + soft[x]
      const inside = d[x] + fray * grain[at + x]
      if (inside <= -edge) {
        factor[x] = 0
        continue
      }
      const t = inside >= edge ? 1 : (inside / edge + 1) / 2
      const near = inside * gather
      const gathered = near < 7 ? (pool * Math.exp(-Math.max(near, 0)) * hard) / edge : 0
      const free = masked ? 1 - reserve[at + x] : 1
      factor[x] = t * t * (3 - 2 * t) * (1 + gathered) * free
    }
    for (const [p, field] of laid) {
      fieldRow(field, y, amount)
      const plane = amounts[p]
      for (let x = 0; x < rect.width; x++) if (factor[x] > 0) plane[at + x] += factor[x] * amount[x]
    }
  }
}

/** The outline's rectangle with a margin, inside the sheet; undefined where nothing of it is. */
export function boundsOf(px: Float64Array, margin: number, width: number, height: number): Rect | undefined {
  let [x0, y0, x1, y1] = [width, height, 0, 0]
  for (let i = 0; i < px.length; i += 2) {
    x0 = Math.min(x0, px[i] - margin)
    x1 = Math.max(x1, px[i] + margin)
    y0 = Math.min(y0, px[i + 1] - margin)
    y1 = Math.max(y1, px[i + 1] + margin)
  }
  const x = Math.max(Math.floor(x0), 0)
  const y = Math.max(Math.floor(y0), 0)
  const right = Math.min(Math.ceil(x1), width)
  const bottom = Math.min(Math.ceil(y1), height)
  return right - x > 1 && bottom - y > 1 ? { x, y, width: right - x, height: bottom - y } : undefined
}

function distanceField(
  canvas: Canvas,
  { wanderMm = 0.5, wanderLengthMm = 7 }: Wash,
  px: Float64Array,
  rect: Rect,
  step: number,
): Field {
  const { pxPerMm, noises } = canvas
  const wander = wanderMm * pxPerMm
  const scale = 1 / (wanderLengthMm * pxPerMm)
  return sampledField(rect, step, (x, y) => {
    const dx = wander * noises[0](x * scale, y * scale)
    const dy = wander * noises[1](x * scale, y * scale)
    return insideDistance(px, x + dx, y + dy)
  })
}

/** Where the edge is lost: extra half-width in pixels, by a slow noise. */
function softField({ pxPerMm, noises }: Canvas, { softMm = 0, lost = 0.5 }: Wash, rect: Rect): Field {
  const scale = 1 / (14 * pxPerMm)
  return sampledField(rect, 8, (x, y) => {
    const t = Math.min(Math.max((noises[2](x * scale, y * scale) + 2 * lost - 1) * 2 + 0.5, 0), 1)
    return softMm * pxPerMm * t * t * (3 - 2 * t)
  })
}

function mixFields({ width, height }: Canvas, wash: Wash, rect: Rect): [number, Field][] {
  const step = 4
  const fields = PIGMENT_NAMES.map(() => emptyField(rect, step))
  const used = new Set<number>()
  const mix = Object.fromEntries(PIGMENT_NAMES.map((name) => [name, 0])) as Mix
  const { columns, rows } = fields[0]
  for (let j = 0, at = 0; j < rows; j++) {
    for (let i = 0; i < columns; i++, at++) {
      for (const name of PIGMENT_NAMES) mix[name] = 0
      wash.mix((rect.x + i * step) / width, (rect.y + j * step) / height, mix)
      for (let p = 0; p < fields.length; p++) {
        const amount = mix[PIGMENT_NAMES[p]]
        if (amount > 0) {
          fields[p].data[at] = amount
          used.add(p)
        }
      }
    }
  }
  return [...used].map((p) => [p, fields[p]])
}
