import { kernels } from './kernels/kernels.js'
import type { Rect } from './Rect.js'
import type { Source } from './Source.js'
import type { Tile } from './Tile.js'

/** Byte offsets in kernel memory of three planes, with room for four values behind each. */
export type HeldPlanes = readonly [r: number, g: number, b: number]

type Bring = (rect: Rect, planes: HeldPlanes) => void

/** Kept beside the sources, not in them: a picture made of another must not pass for it. */
const known = new WeakMap<Source, Bring>()

/** Says how a picture's regions can be made in kernel memory, without a tile between. */
export function offerHeldRegions(source: Source, bring: Bring): void {
  known.set(source, bring)
}

/** A region of a picture in kernel memory: the same bits as `source.region`. Called inside `holding`. */
export function heldRegion(source: Source, rect: Rect, planes: HeldPlanes): void {
  const bring = known.get(source)
  if (bring) bring(rect, planes)
  else bringPlanes(source.region(rect).planes, planes)
}

/** Copies planes to kernel memory. */
export function bringPlanes(from: readonly Float32Array[], to: HeldPlanes): void {
  const floats = new Float32Array(kernels().memory.buffer)
  for (const [c, plane] of from.entries()) floats.set(plane, to[c] / 4)
}

/** A region's planes seen where they lie; good until kernel memory is asked for again. */
export const heldViews = (planes: HeldPlanes, { width, height }: Rect): Float32Array[] =>
  planes.map((at) => new Float32Array(kernels().memory.buffer, at, width * height))

/** Planes of `count` values copied from kernel memory. */
export function takePlanes([r, g, b]: HeldPlanes, count: number): Tile['planes'] {
  const { buffer } = kernels().memory
  const plane = (at: number) => new Float32Array(buffer, at, count).slice()
  return [plane(r), plane(g), plane(b)]
}
