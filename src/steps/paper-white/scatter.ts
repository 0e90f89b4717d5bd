import { quantile } from '../shared/quantile.js'
import type { PaperSample } from './paperSample.js'
import { type Surface, surfaceAt } from './surface.js'

export interface Scatter {
  near: { dark: number; colour: number }
  own: { dark: number; colour: number }
}

/** The lift over a neighbourhood ends at this many times its scatter; no gradient is steepened more than 2.3 times. */
export const NEAR_REACH = 3

/** Pixels either side of the mean that stands for a pixel's neighbourhood; the kernel's own 5 x 5. */
const REACH = 2

/**
 * How far unpainted paper strays from white after the gain: nearly all 5 x 5 means and single pixels lie inside. Bounded
 * below by what eight bits resolve, and above so that a rough sheet does not draw pale washes in.
 */
export function scatter(used: readonly PaperSample[], gains: readonly Surface[], side: number): Scatter {
  const nearDark: number[] = []
  const nearColour: number[] = []
  const ownDark: number[] = []
  const ownColour: number[] = []
  for (const { tile } of used) {
    const { x, y, width, height } = tile.rect
    const gain = gains.map((g) => surfaceAt(g, (x + width / 2) / side, (y + height / 2) / side))
    for (let j = REACH; j < height - REACH; j += 3) {
      for (let i = REACH; i < width - REACH; i += 3) {
        const own = [0, 1, 2].map((c) => gain[c] * tile.planes[c][j * width + i])
        const near = [0, 1, 2].map((c) => {
          let sum = 0
          for (let dy = -REACH; dy <= REACH; dy++) {
            for (let dx = -REACH; dx <= REACH; dx++) sum += tile.planes[c][(j + dy) * width + i + dx]
          }
          return (gain[c] * sum) / (2 * REACH + 1) ** 2
        })
        ownDark.push(darkness(own))
        ownColour.push(colourfulness(own))
        nearDark.push(darkness(near))
        nearColour.push(colourfulness(near))
      }
    }
  }
  const near = {
    dark: held(quantile(nearDark, 0.995), 0.006, 0.05),
    colour: held(quantile(nearColour, 0.995), 0.006, 0.04),
  }
  // Single pixels end the lift only where their neighbourhood, where it is even, has ended it before: else the two
  // together would steepen a gradient.
  const own = {
    dark: held(1.25 * quantile(ownDark, 0.999), Math.max(0.02, NEAR_REACH * near.dark), 0.3),
    colour: held(1.25 * quantile(ownColour, 0.999), Math.max(0.02, NEAR_REACH * near.colour), 0.15),
  }
  return { near, own }
}

/** As the kernel has it: luminance below white, and red and blue against green. */
const darkness = ([r, g, b]: number[]) => Math.max(0, 1 - (0.2880402 * r + 0.7118741 * g + 0.0000857 * b))
const colourfulness = ([r, g, b]: number[]) => Math.hypot(r - g, b - g)
const held = (value: number, least: number, most: number) =>
  Number(Math.min(most, Math.max(least, value)).toPrecision(4))
