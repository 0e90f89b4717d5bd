import type { Blob } from './flatBlobs.js'
import { fitHomography, type Homography, invertHomography, mapPoint, type Point } from './homography.js'

/** Blobs that lie on a square lattice seen in perspective. */
export interface Lattice {
  /** From lattice coordinates to view pixels. */
  toView: Homography
  nodes: { i: number; j: number; blob: Blob }[]
}

/** A patch's neighbour is at most this many patch sides away (charts leave gaps of 5 to 60 % of a side). */
const MAX_PITCH = 1.9
const MIN_PITCH = 0.95

/** Vectors from `blob` to others in units of its own sides, seen without its perspective, nearest first. */
export function neighbours(blob: Blob, all: readonly Blob[]): { blob: Blob; u: number; v: number }[] {
  const [xx, xy, yy] = blob.covariance
  // Lower-triangular factor of the covariance; a unit square has the covariance 1/12.
  const a = Math.sqrt(xx)
  const b = xy / a
  const c = Math.sqrt(Math.max(1e-9, yy - b * b))
  const side = Math.sqrt(12)
  const found: { blob: Blob; u: number; v: number; d: number }[] = []
  const reach = 2 * MAX_PITCH * Math.sqrt(blob.areaPx) * 1.6
  for (const other of all) {
    const dx = other.x - blob.x
    const dy = other.y - blob.y
    if (other === blob || Math.abs(dx) > reach || Math.abs(dy) > reach) continue
    const ratio = other.areaPx / blob.areaPx
    if (ratio < 0.4 || ratio > 2.5) continue
    const p = dx / a
    const q = (dy - b * p) / c
    const d = Math.hypot(p, q) / side
    if (d >= MIN_PITCH && d <= MAX_PITCH) found.push({ blob: other, u: p / side, v: q / side, d })
  }
  return found.sort((m, n) => m.d - n.d).slice(0, 8)
}

/**
 * Grows a lattice from one blob and two of its neighbours that stand about square to each other.
 * @param reach how far from the seed a node may lie: the longer side of the chart's grid and one
 * @returns undefined where fewer than seven blobs fall into place
 */
export function growLattice(
  seed: Blob,
  right: Blob,
  down: Blob,
  all: readonly Blob[],
  reach: number,
): Lattice | undefined {
  let nodes: Lattice['nodes'] = [
    { i: 0, j: 0, blob: seed },
    { i: 1, j: 0, blob: right },
    { i: 0, j: 1, blob: down },
  ]
  let toView = fitNodes(nodes)
  // A lattice grows by one ring of nodes a round.
  for (let round = 0; round < 2 * reach && toView; round++) {
    const grown = collect(toView, nodes, all, reach)
    const settled = grown.length === nodes.length && round > 2
    nodes = grown
    if (nodes.length < 3) return undefined
    toView = fitNodes(nodes)
    if (settled) break
  }
  return toView && nodes.length >= 7 ? { toView, nodes } : undefined
}

function fitNodes(nodes: Lattice['nodes']): Homography | undefined {
  return fitHomography(
    nodes.map(({ i, j }): Point => [i, j]),
    nodes.map(({ blob }): Point => [blob.x, blob.y]),
  )
}

/** Nodes by one number: i * STRIDE + j; a node and those around it. */
const STRIDE = 256
const AROUND = [-1, 0, 1].flatMap((di) => [-1, 0, 1].map((dj) => di * STRIDE + dj))

/** The blobs near lattice nodes that touch the lattice so far, one a node. */
function collect(
  toView: Homography,
  sofar: Lattice['nodes'],
  all: readonly Blob[],
  reach: number,
): Lattice['nodes'] {
  const toLattice = invertHomography(toView)
  const held = new Set(sofar.map(({ i, j }) => i * STRIDE + j))
  const best = new Map<number, { i: number; j: number; blob: Blob; off: number }>()
  for (const blob of all) {
    const [u, v] = mapPoint(toLattice, [blob.x, blob.y])
    const i = Math.round(u)
    const j = Math.round(v)
    const off = Math.hypot(u - i, v - j)
    if (!(off < 0.22) || Math.abs(i) > reach || Math.abs(j) > reach) continue
    const share = blob.areaPx / cellAreaPx(toView, i, j)
    if (!(share > 0.2 && share < 1.02)) continue
    const key = i * STRIDE + j
    const touches = AROUND.some((step) => held.has(key + step))
    const known = best.get(key)
    if (touches && (!known || off < known.off)) best.set(key, { i, j, blob, off })
  }
  return [...best.values()].map(({ i, j, blob }) => ({ i, j, blob }))
}

/** Area of the lattice cell around a node, in view pixels. */
export function cellAreaPx(toView: Homography, i: number, j: number): number {
  const [a, b, c, d] = [-0.5, 0.5].flatMap((dj) =>
    [-0.5, 0.5].map((di) => mapPoint(toView, [i + di, j + dj])),
  )
  return Math.abs((d[0] - a[0]) * (c[1] - b[1]) - (d[1] - a[1]) * (c[0] - b[0])) / 2
}
