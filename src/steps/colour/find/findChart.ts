import { type Blob, flatBlobs } from './flatBlobs.js'
import { growLattice, type Lattice, neighbours } from './growLattice.js'
import { mapPoint, type Point } from './homography.js'
import type { LightView } from './lightView.js'
import { type Placement, placeChart, type Sought } from './placeChart.js'

/** A chart found in a view. */
export interface FoundChart extends Placement {
  /** 0..1: how clearly this way of lying beats every other: 1 - residual / next best residual. */
  confidence: number
  /** The middle of another chart of the same kind, in view pixels. */
  second?: Point
}

/** Steps of lightness over two view pixels that still count as even: clean, ordinary and noisy captures. */
const THRESHOLDS = [2, 4, 8, 16]

/** Colours further than this from the chart's (CIELAB units, after the best affine map) are not a chart. */
export const MAX_RESIDUAL = 13

/** About what the colours of something else than the chart are off by. */
export const STRANGE_RESIDUAL = 25

/** Share of a second chart's patches that must be seen for it to count as one. */
const SECOND_PATCHES = 0.7

/** How many blobs may start a lattice. */
const MAX_SEEDS = 150

/**
 * Finds a chart in a view, whichever way it lies: even areas shaped like parallelograms are collected,
 * lattices are grown over them, and every way of laying the chart's grid on a lattice is judged by its colours.
 * @param view reduced capture, a patch at least 6 view pixels wide
 * @returns the best placement, undefined where nothing matches
 */
export function findChart(view: LightView, chart: Sought): FoundChart | undefined {
  const placements: Placement[] = []
  searchLattices(view, chart, (lattice, blobs) => {
    const found = placeChart(view, lattice, blobs, chart)
    placements.push(...found)
    // A lattice that started on something beside the chart may hold most of its patches and still be crooked: only
    // one that matches takes its blobs out of the search.
    return found[0]?.residual < MAX_RESIDUAL
  })
  return choose(placements, chart)
}

/**
 * Grows lattices over a view's even areas, the best of each seed.
 * @param visit is handed each; true takes its blobs out of the search
 */
export function searchLattices(
  view: LightView,
  chart: Sought,
  visit: (lattice: Lattice, blobs: readonly Blob[]) => boolean,
): void {
  const blobs = distinct(THRESHOLDS.flatMap((threshold) => flatBlobs(view, threshold)))
  const seeds = blobs
    .map((blob) => ({ blob, near: neighbours(blob, blobs) }))
    .filter(({ near }) => near.length >= 2)
    .sort((a, b) => b.near.length - a.near.length || b.blob.areaPx - a.blob.areaPx)
  const used = new Set<Blob>()
  let tried = 0
  for (const { blob, near } of seeds) {
    if (used.has(blob)) continue
    if (tried++ >= MAX_SEEDS) break
    const lattice = bestLattice(blob, near, blobs, chart)
    if (lattice && visit(lattice, blobs)) for (const node of lattice.nodes) used.add(node.blob)
  }
}

/** The lattice with most nodes that grows from a blob. */
function bestLattice(
  blob: Blob,
  near: ReturnType<typeof neighbours>,
  all: readonly Blob[],
  { columns, rows }: Sought,
): Lattice | undefined {
  const reach = Math.max(columns, rows) + 1
  let best: Lattice | undefined
  for (const a of near) {
    for (const b of near) {
      const cross = a.u * b.v - a.v * b.u
      const dot = a.u * b.u + a.v * b.v
      const [la, lb] = [Math.hypot(a.u, a.v), Math.hypot(b.u, b.v)]
      // Right-handed and about square, sides about equal; the chart is never seen mirrored.
      if (cross < 0.9 * la * lb || Math.abs(dot) > 0.4 * la * lb || la / lb > 1.35 || lb / la > 1.35) continue
      const lattice = growLattice(blob, a.blob, b.blob, all, reach)
      if (lattice && lattice.nodes.length > (best?.nodes.length ?? 0)) best = lattice
      if (best && best.nodes.length >= (5 / 6) * columns * rows) return best
    }
  }
  return best
}

/** One blob a place: of those that lie on one another the largest. */
function distinct(blobs: Blob[]): Blob[] {
  const kept: Blob[] = []
  const cells = new Map<number, Blob[]>()
  const CELL = 16
  for (const blob of blobs.sort((a, b) => b.areaPx - a.areaPx)) {
    const [cx, cy] = [Math.floor(blob.x / CELL), Math.floor(blob.y / CELL)]
    let doubled = false
    for (let j = cy - 1; j <= cy + 1 && !doubled; j++) {
      for (let i = cx - 1; i <= cx + 1 && !doubled; i++) {
        doubled = (cells.get(j * 65536 + i) ?? []).some(
          (other) =>
            Math.hypot(other.x - blob.x, other.y - blob.y) < 0.2 * Math.sqrt(blob.areaPx) &&
            other.areaPx < 1.6 * blob.areaPx,
        )
      }
    }
    if (doubled) continue
    kept.push(blob)
    const key = cy * 65536 + cx
    cells.set(key, [...(cells.get(key) ?? []), blob])
  }
  return kept
}

function choose(placements: Placement[], { columns, rows }: Sought): FoundChart | undefined {
  const sorted = placements.sort((a, b) => a.residual - b.residual)
  const [best] = sorted
  if (!best || best.residual > MAX_RESIDUAL) return undefined
  const centre = best.toView
  const rival = sorted.find(
    ({ toView }) => Math.hypot(toView[2] - centre[2], toView[5] - centre[5]) > 0.4 * pitchPx(centre),
  )
  const confidence = Math.max(
    0,
    1 - best.residual / Math.min(STRANGE_RESIDUAL, rival?.residual ?? STRANGE_RESIDUAL),
  )
  // A chart that lies wholly beside this one and matches as a chart does is a second one.
  const middle: Point = [(columns - 1) / 2, (rows - 1) / 2]
  const [x, y] = mapPoint(centre, middle)
  const apart = Math.hypot(columns, rows) * 0.6 * pitchPx(centre)
  const second = sorted
    .filter(
      ({ residual, seenPatches }) =>
        residual < MAX_RESIDUAL && seenPatches >= SECOND_PATCHES * columns * rows,
    )
    .map(({ toView }) => mapPoint(toView, middle))
    .find(([ox, oy]) => Math.hypot(ox - x, oy - y) > apart)
  return { ...best, confidence, second }
}

const pitchPx = (h: number[]) => Math.hypot(h[0] - h[2] * h[6], h[3] - h[5] * h[6])
