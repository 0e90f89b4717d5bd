import type { Layout } from '../layout/layOut.js'
import { type Correction, fieldAt } from '../light/LightField.js'
import { backwards, moved, type Placement } from '../Placement.js'
import type { SeamMap } from '../Reading.js'
import { sampleLight } from '../views/sampleLight.js'
import type { View } from '../views/View.js'
import { BLOCK, BLOCK_NUMBERS, blocksAcross, blocksDown, type CoarseLight, STEP_UNIT } from './CoarseLight.js'
import { wideSpread } from './cellShares.js'
import { fromRuns } from './runs.js'

/** Side of the cells where there are few; they grow where there would be more than so many. */
const LEAST_CELL_PX = 8
const MOST_CELLS = 24_000
/** Coarse light is what is left of a mean over this many sheet pixels (its weights fall to half there), and a cell at least. */
const MEAN_PX = 32
/** Samples a side of a cell at most. */
const MOST_SAMPLES = 3
/** Captures that differ by more than this show different things: the logarithm is held there. */
const MOST_LOG = 0.2

/** One capture's light summed over the cells of a block; `held` is 1 where the capture holds all of a cell. */
interface BlockLight {
  planes: [Float64Array, Float64Array, Float64Array]
  held: Uint8Array
}

/**
 * Coarse light of captures against each other about the seams, from their reduced views: by what one is lighter than the
 * other, as a logarithm, each a mean over the cells that both hold. It is smooth, so that few numbers have it all.
 */
export function measureCoarse(
  views: readonly View[],
  { placements }: Layout,
  corrections: readonly Correction[],
  seams: SeamMap,
): CoarseLight {
  const labels = fromRuns(seams.runs, seams.width * seams.height)
  let cellPx = firstGuess(labels, seams)
  let needed = meetings(labels, seams, cellPx)
  for (;;) {
    const cells = [...needed.values()].reduce((sum, { blocks }) => sum + blocks.length, 0) * BLOCK * BLOCK
    if (cells <= MOST_CELLS) break
    cellPx = Math.max(cellPx + 1, Math.floor(cellPx * Math.sqrt(cells / MOST_CELLS)))
    needed = meetings(labels, seams, cellPx)
  }
  const back = placements.map((placement) => placement && backwards(placement))
  const known = views.map(() => new Map<string, BlockLight>())
  const lightOf = (index: number, bx: number, by: number): BlockLight => {
    const key = `${bx},${by}`
    const light =
      known[index].get(key) ?? blockLight(views[index], back[index]!, corrections[index], bx, by, cellPx)
    known[index].set(key, light)
    return light
  }
  const across = blocksAcross(seams, cellPx)
  const kernel = meanKernel(cellPx)
  return {
    cellPx,
    pairs: [...needed.values()].map(({ first, second, blocks }) => {
      const numbers = new Int16Array(blocks.length * BLOCK_NUMBERS)
      for (const [k, block] of blocks.entries()) {
        const [bx, by] = [block % across, Math.floor(block / across)]
        const steps = blockSteps((x, y) => [lightOf(first, x, y), lightOf(second, x, y)], bx, by, kernel)
        numbers.set(steps, k * BLOCK_NUMBERS)
      }
      return { first, second, blocks, steps: packed(numbers) }
    }),
  }
}

/** Sheet pixels by which labels' wide shares reach beyond them. */
const reachOf = ({ cellPx }: SeamMap) => ((wideSpread(cellPx).length - 1) / 2 + 2) * cellPx

/** A side of cells that may still be a little too small: seams' length times what labels reach, divided among the cells. */
function firstGuess(labels: Int16Array, seams: SeamMap): number {
  let seamCells = 0
  const parts = (one: number, other: number) => one >= 0 && other >= 0 && one !== other
  for (let at = seams.width; at < labels.length; at++) {
    if (parts(labels[at], labels[at - 1]) || parts(labels[at], labels[at - seams.width])) seamCells++
  }
  const areaPx = seamCells * seams.cellPx * 2 * reachOf(seams)
  return Math.max(LEAST_CELL_PX, Math.floor(0.8 * Math.sqrt(areaPx / MOST_CELLS)))
}

/** Pairs of captures whose wide shares meet, and the blocks where they do. */
function meetings(
  labels: Int16Array,
  seams: SeamMap,
  cellPx: number,
): Map<string, { first: number; second: number; blocks: number[] }> {
  const across = blocksAcross(seams, cellPx)
  const down = blocksDown(seams, cellPx)
  // Steps are interpolated between cells.
  const reachPx = reachOf(seams) + cellPx
  const pairs = new Map<string, { first: number; second: number; blocks: number[] }>()
  const span = (block: number, most: number): [from: number, to: number] => [
    Math.max(0, Math.floor((block * BLOCK * cellPx - reachPx) / seams.cellPx)),
    Math.min(most - 1, Math.floor(((block + 1) * BLOCK * cellPx + reachPx) / seams.cellPx)),
  ]
  for (let by = 0; by < down; by++) {
    const [top, bottom] = span(by, seams.height)
    for (let bx = 0; bx < across; bx++) {
      const [left, right] = span(bx, seams.width)
      const present = new Set<number>()
      let last = -1
      for (let j = top; j <= bottom; j++) {
        for (let at = j * seams.width + left; at <= j * seams.width + right; at++) {
          if (labels[at] === last) continue
          last = labels[at]
          if (last >= 0) present.add(last)
        }
      }
      if (present.size < 2) continue
      const own = [...present].sort((a, b) => a - b)
      for (const [k, first] of own.entries()) {
        for (const second of own.slice(k + 1)) {
          const key = `${first} ${second}`
          const pair = pairs.get(key) ?? { first, second, blocks: [] }
          pairs.set(key, pair)
          pair.blocks.push(by * across + bx)
        }
      }
    }
  }
  return pairs
}

/** Weights, falling evenly to both sides, by which a cell's coarse light is the mean of those about it. */
function meanKernel(cellPx: number): number[] {
  const reach = Math.max(1, Math.round(MEAN_PX / cellPx) - 1)
  return Array.from({ length: 2 * reach + 1 }, (_, i) => reach + 1 - Math.abs(i - reach))
}

function blockLight(
  view: View,
  back: Placement,
  { gain, field }: Correction,
  bx: number,
  by: number,
  cellPx: number,
): BlockLight {
  const planes: BlockLight['planes'] = [0, 1, 2].map(
    () => new Float64Array(BLOCK * BLOCK),
  ) as BlockLight['planes']
  const held = new Uint8Array(BLOCK * BLOCK).fill(1)
  const samples = Math.min(MOST_SAMPLES, Math.max(2, Math.ceil(cellPx / view.light.cell)))
  const rgb = new Float64Array(3)
  for (let at = 0; at < BLOCK * BLOCK; at++) {
    const [x0, y0] = [(bx * BLOCK + (at % BLOCK)) * cellPx, (by * BLOCK + Math.floor(at / BLOCK)) * cellPx]
    for (let s = 0; s < samples * samples; s++) {
      const [x, y] = [((s % samples) + 0.5) / samples, (Math.floor(s / samples) + 0.5) / samples]
      const [px, py] = moved(back, x0 + x * cellPx - 0.5, y0 + y * cellPx - 0.5)
      if (!sampleLight(view, px, py, rgb)) {
        held[at] = 0
        break
      }
      const factor = fieldAt(field, view.upright, px, py)
      for (let c = 0; c < 3; c++) planes[c][at] += rgb[c] * gain[c] * factor
    }
  }
  return { planes, held }
}

/** A block's steps, 0 where no cell near is held by both. */
function blockSteps(
  lights: (bx: number, by: number) => readonly [BlockLight, BlockLight],
  bx: number,
  by: number,
  kernel: readonly number[],
): Int16Array {
  const reach = (kernel.length - 1) / 2
  const side = BLOCK + 2 * reach
  const sums = [0, 1].map(() => [0, 1, 2].map(() => new Float64Array(side * side)))
  for (let j = 0; j < side; j++) {
    for (let i = 0; i < side; i++) {
      const [x, y] = [bx * BLOCK + i - reach, by * BLOCK + j - reach]
      const [one, other] = lights(Math.floor(x / BLOCK), Math.floor(y / BLOCK))
      const at = (((y % BLOCK) + BLOCK) % BLOCK) * BLOCK + (((x % BLOCK) + BLOCK) % BLOCK)
      if (!one.held[at] || !other.held[at]) continue
      for (let c = 0; c < 3; c++) {
        sums[0][c][j * side + i] = one.planes[c][at]
        sums[1][c][j * side + i] = other.planes[c][at]
      }
    }
  }
  const means = sums.map((planes) => planes.map((plane) => averaged(plane, side, kernel)))
  const steps = new Int16Array(BLOCK_NUMBERS)
  for (let k = 0; k < BLOCK_NUMBERS; k++) {
    const [c, at] = [Math.floor(k / (BLOCK * BLOCK)), k % (BLOCK * BLOCK)]
    const [a, b] = [means[0][c][at], means[1][c][at]]
    if (a > 0 && b > 0) {
      steps[k] = Math.round(Math.min(Math.max(Math.log(a / b), -MOST_LOG), MOST_LOG) / STEP_UNIT)
    }
  }
  return steps
}

/** The kernel's sums at a block's own cells. */
function averaged(plane: Float64Array, side: number, kernel: readonly number[]): Float64Array {
  const rows = new Float64Array(BLOCK * side)
  for (let j = 0; j < side; j++) {
    for (let i = 0; i < BLOCK; i++) {
      for (let k = 0; k < kernel.length; k++) rows[j * BLOCK + i] += kernel[k] * plane[j * side + i + k]
    }
  }
  const out = new Float64Array(BLOCK * BLOCK)
  for (let j = 0; j < BLOCK; j++) {
    for (let i = 0; i < BLOCK; i++) {
      for (let k = 0; k < kernel.length; k++) out[j * BLOCK + i] += kernel[k] * rows[(j + k) * BLOCK + i]
    }
  }
  return out
}

function packed(numbers: Int16Array): string {
  const letters = Array.from(numbers, (value) => String.fromCharCode(value & 255, (value >> 8) & 255))
  return btoa(letters.join(''))
}
