import type { Tile } from '../../../raster/Tile.js'
import type { CellShares } from './cellShares.js'
import { addSteps, type CoarseSteps, pairKey } from './coarseSteps.js'
import { type Part, rampOf } from './Part.js'

/** Sheet pixels over which a capture's say in coarse light rises from its border inwards. */
const WIDE_RAMP_PX = 48

/** Moves coarse light from what the narrow weights took to what the wide ones ask for; the tile changes in place. */
export function mixCoarse(
  { rect, planes }: Tile,
  parts: readonly Part[],
  narrow: readonly { part: Part; weight: Float32Array }[],
  shares: CellShares,
  coarse: CoarseSteps,
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
  const logs = planes.map(() => new Float32Array(n))
  const weight = new Float32Array(n)
  for (const [k, one] of reaching.entries()) {
    for (const other of reaching.slice(k + 1)) {
      let any = false
      for (let i = 0; i < n; i++) {
        // Where one gives the detail the other's light comes in, and the other way round.
        const value =
          total[i] > 0 ? (other.fine[i] * one.wide[i] - one.fine[i] * other.wide[i]) / total[i] : 0
        weight[i] = value
        any ||= value !== 0
      }
      if (any) addSteps(logs, coarse, pairKey(one.part.index, other.part.index), weight, rect)
    }
  }
  for (const [c, plane] of planes.entries()) {
    for (let i = 0; i < n; i++) if (logs[c][i] !== 0) plane[i] *= Math.exp(logs[c][i])
  }
}
