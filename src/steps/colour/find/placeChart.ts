import type { ChartLayout } from '../../../colour/charts/ChartLayout.js'
import { colourMatch } from './colourMatch.js'
import type { Blob } from './flatBlobs.js'
import { cellAreaPx, type Lattice } from './growLattice.js'
import {
  composeHomography,
  fitHomography,
  type Homography,
  invertHomography,
  mapPoint,
  type Point,
} from './homography.js'
import type { LightView } from './lightView.js'

/** One way the chart could lie in a view. */
export interface Placement {
  /** From chart coordinates (patch centres at whole numbers) to view pixels. */
  toView: Homography
  /** Distance of the colours from the reference after the best affine map, CIELAB units. */
  residual: number
  /** Patches whose outline was seen. */
  seenPatches: number
  /** A patch's side as a share of the distance between patch centres. */
  patchShare: number
}

/** The four ways a grid can lie, each its own map back when transposed. */
export const TURNS: readonly Homography[] = [
  [1, 0, 0, 0, 1, 0, 0, 0, 1],
  [0, 1, 0, -1, 0, 0, 0, 0, 1],
  [-1, 0, 0, 0, -1, 0, 0, 0, 1],
  [0, -1, 0, 1, 0, 0, 0, 0, 1],
]

/** What is looked for: the patches of a chart's grid and their colours. */
export type Sought = Pick<ChartLayout, 'columns' | 'rows' | 'patches'> & {
  labD50: readonly (readonly [number, number, number])[]
}

/** All ways a chart could lie on a lattice, best match of colours first. */
export function placeChart(
  view: LightView,
  { nodes, toView }: Lattice,
  blobs: readonly Blob[],
  chart: Sought,
): Placement[] {
  const { columns: across, rows: down, labD50 } = chart
  const placements: Placement[] = []
  for (const turn of TURNS) {
    // Chart coordinates before the offset; `turn` is its own map back when transposed.
    const turned = nodes.map(({ i, j, blob }) => ({
      column: turn[0] * i + turn[1] * j,
      row: turn[3] * i + turn[4] * j,
      blob,
    }))
    const back: Homography = [turn[0], turn[3], 0, turn[1], turn[4], 0, 0, 0, 1]
    const columns = turned.map(({ column }) => column)
    const rows = turned.map(({ row }) => row)
    for (
      let left = Math.min(...columns) - (across >> 1);
      left <= Math.max(...columns) - (across >> 1) + 1;
      left++
    ) {
      for (let top = Math.min(...rows) - (down >> 1); top <= Math.max(...rows) - (down >> 1) + 1; top++) {
        const inside = turned.filter(
          ({ column, row }) => column >= left && column < left + across && row >= top && row < top + down,
        )
        if (inside.length < 7 || inside.length < 0.6 * nodes.length) continue
        const chartToView = composeHomography(
          toView,
          composeHomography(back, [1, 0, left, 0, 1, top, 0, 0, 1]),
        )
        const seen = centreColours(view, chartToView, chart.patches)
        if (!seen) continue
        const residual = colourMatch(seen, labD50)
        if (residual === Number.POSITIVE_INFINITY) continue
        const placed = inside.map(({ column, row, blob }) => ({
          column: column - left,
          row: row - top,
          blob,
        }))
        placements.push({ ...settle(chartToView, placed, blobs, chart), residual })
      }
    }
  }
  return placements.sort((a, b) => a.residual - b.residual)
}

type Placed = { column: number; row: number; blob: Blob }[]

/** The homography of the chart's own patches alone, every one that can be seen, and how much of a cell they fill. */
function settle(
  chartToView: Homography,
  placed: Placed,
  blobs: readonly Blob[],
  chart: Sought,
): Pick<Placement, 'toView' | 'patchShare' | 'seenPatches'> {
  let toView = chartToView
  let nodes = placed
  for (let round = 0; round < 4; round++) {
    toView =
      fitHomography(
        nodes.map(({ column, row }): Point => [column, row]),
        nodes.map(({ blob }): Point => [blob.x, blob.y]),
      ) ?? toView
    const found = patchBlobs(toView, blobs, chart)
    const again = round === 0 ? found : trusted(toView, found)
    if (again.length < 7) break
    nodes = again
  }
  const shares = nodes
    .map(({ column, row, blob }) => {
      const cell = cellAreaPx(toView, column, row)
      // The even area ends about a pixel inside the patch on every side.
      return (Math.sqrt(blob.areaPx) + 2) / Math.sqrt(cell)
    })
    .sort((a, b) => a - b)
  const patchShare = Math.min(0.97, shares[Math.floor(shares.length / 2)])
  return { toView, patchShare, seenPatches: nodes.length }
}

/**
 * The nodes whose blob fills about as much of its cell as most do and lies about as near its place: not one that ran
 * together with the frame or holds half a patch.
 */
function trusted(toView: Homography, nodes: Placed): Placed {
  const facts = nodes.map((node) => {
    const [x, y] = mapPoint(toView, [node.column, node.row])
    const cell = cellAreaPx(toView, node.column, node.row)
    const off = Math.hypot(node.blob.x - x, node.blob.y - y) / Math.sqrt(cell)
    return { node, share: node.blob.areaPx / cell, off }
  })
  const middle = (values: number[]) => values.sort((a, b) => a - b)[values.length >> 1]
  const usualShare = middle(facts.map(({ share }) => share))
  const usualOff = middle(facts.map(({ off }) => off))
  return facts
    .filter(
      ({ share, off }) => share > 0.75 * usualShare && share < 1.3 * usualShare && off < 3 * usualOff + 0.003,
    )
    .map(({ node }) => node)
}

/** The blob of each patch that has one where the patch should be. */
function patchBlobs(toView: Homography, blobs: readonly Blob[], { columns, rows }: Sought): Placed {
  const toChart = invertHomography(toView)
  const best = new Map<number, Placed[number] & { off: number }>()
  for (const blob of blobs) {
    const [u, v] = mapPoint(toChart, [blob.x, blob.y])
    const [column, row] = [Math.round(u), Math.round(v)]
    const off = Math.hypot(u - column, v - row)
    if (!(off < 0.12) || column < 0 || row < 0 || column >= columns || row >= rows) continue
    const share = blob.areaPx / cellAreaPx(toView, column, row)
    if (!(share > 0.25 && share < 1.02)) continue
    const key = row * columns + column
    const known = best.get(key)
    if (!known || off < known.off) best.set(key, { column, row, blob, off })
  }
  return [...best.values()]
}

/** Mean lightness of the channels about each patch's centre; undefined where a patch lies outside the view. */
export function centreColours(
  view: LightView,
  chartToView: Homography,
  patches: ChartLayout['patches'],
): [number, number, number][] | undefined {
  const colours: [number, number, number][] = []
  for (const { at } of patches) {
    const [x, y] = mapPoint(chartToView, [at[0], at[1]])
    const reach = Math.max(
      0,
      Math.min(6, Math.floor(0.22 * Math.sqrt(cellAreaPx(chartToView, at[0], at[1])))),
    )
    const px = Math.floor(x)
    const py = Math.floor(y)
    if (!(px >= reach && py >= reach && px + reach < view.width && py + reach < view.height)) return undefined
    colours.push(
      view.seen.map((plane) => meanAbout(plane, view.width, px, py, reach)) as [number, number, number],
    )
  }
  return colours
}

function meanAbout(plane: Float32Array, width: number, x: number, y: number, reach: number): number {
  let sum = 0
  for (let j = y - reach; j <= y + reach; j++) {
    for (let i = x - reach; i <= x + reach; i++) sum += plane[j * width + i]
  }
  return sum / (2 * reach + 1) ** 2
}
