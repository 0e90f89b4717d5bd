import type { Tile } from '../../../raster/Tile.js'
import { boundsOf } from './boundsOf.js'
import type { CellShares } from './cellShares.js'
import {
  addSteps,
  type CellLight,
  type Cells,
  cellsAbout,
  coarseSteps,
  gatherCells,
  lightOnCells,
  pixelsOf,
} from './coarseLight.js'
import { holdsWhole, type Part, pieceOf, rampOf } from './Part.js'

/** Sheet pixels over which its say in coarse light does. */
const WIDE_RAMP_PX = 48

/** Moves coarse light from what the narrow weights took to what the wide ones ask for; the tile changes in place. */
export function mixCoarse(
  { rect, planes }: Tile,
  parts: readonly Part[],
  narrow: readonly { part: Part; weight: Float32Array }[],
  shares: CellShares,
): void {
  const n = rect.width * rect.height
  const total = new Float32Array(n)
  const reaching = parts
    .filter(({ index }) => shares.present.has(index))
    .map((part) => {
      const wide = shares.weights(part.index)
      const ramp = rampOf(part, rect, WIDE_RAMP_PX * part.scale)
      for (let i = 0; i < n; i++) total[i] += wide[i] *= ramp[i]
      return { part, wide, fine: narrow.find((one) => one.part === part)?.weight ?? new Float32Array(n) }
    })
  const pairs = reaching.flatMap((one, k) =>
    reaching.slice(k + 1).flatMap((other) => {
      // Where one gives the detail the other's light comes in, and the other way round.
      const weight = new Float32Array(n)
      for (let i = 0; i < n; i++) {
        if (total[i] > 0) weight[i] = (other.fine[i] * one.wide[i] - one.fine[i] * other.wide[i]) / total[i]
      }
      return weight.some((value) => value !== 0) ? [{ one: one.part, other: other.part, weight }] : []
    }),
  )
  const any = new Float32Array(n)
  for (const { weight } of pairs) for (let i = 0; i < n; i++) if (weight[i] !== 0) any[i] = 1
  const needed = boundsOf(any, rect)
  if (!needed) return
  const lights = new Map<Part, CellLight>()
  const logs = planes.map(() => new Float32Array(n))
  const cells = cellsAbout(needed)
  const lightOf = (part: Part) => {
    const known = lights.get(part) ?? gatherCells(cells, part.blocks, (block) => cellsOf(part, block))
    lights.set(part, known)
    return known
  }
  for (const { one, other, weight } of pairs) {
    addSteps(logs, coarseSteps(lightOf(one), lightOf(other), cells), cells, weight, rect)
  }
  for (const [c, plane] of planes.entries()) {
    for (let i = 0; i < n; i++) if (logs[c][i] !== 0) plane[i] *= Math.exp(logs[c][i])
  }
}

const cellsOf = (part: Part, cells: Cells): CellLight =>
  lightOnCells(pieceOf(part, pixelsOf(cells)), cells, part.gain, (cell) => holdsWhole(part, cell))
