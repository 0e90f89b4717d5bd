import type { Rect } from '../../raster/Rect.js'
import type { Derivation } from '../contract.js'

/** Pixels of the master or, where it is enlarged, of its largest derivative, that a block has a side: wide, as rows are what is fast. */
const BLOCK_WIDTH = 2048
const BLOCK_HEIGHT = 1024

/** What of each derivative, by its index, shows one block of the master. */
export type Block = { index: number; rect: Rect }[]

/**
 * Cuts a master into blocks, and every derivative along with it: each of its pixels belongs to the block that its middle
 * lies in, those beyond the master's edges to the blocks at the edge.
 */
export function blocksOf(
  master: { width: number; height: number },
  derivations: readonly Derivation[],
): Block[] {
  const enlarged = Math.max(1, ...derivations.map(({ crop, width }) => width / crop.width))
  const across = derivations.map(({ crop, width }) =>
    cuts(master.width, BLOCK_WIDTH / enlarged, crop.x, crop.width, width),
  )
  const down = derivations.map(({ crop, height }) =>
    cuts(master.height, BLOCK_HEIGHT / enlarged, crop.y, crop.height, height),
  )
  if (derivations.length === 0) return []
  const blocks: Block[] = []
  for (let j = 0; j + 1 < down[0].length; j++) {
    for (let i = 0; i + 1 < across[0].length; i++) {
      const block = derivations.flatMap((_, index) => {
        const [x, right] = [across[index][i], across[index][i + 1]]
        const [y, foot] = [down[index][j], down[index][j + 1]]
        return x < right && y < foot ? [{ index, rect: { x, y, width: right - x, height: foot - y } }] : []
      })
      if (block.length > 0) blocks.push(block)
    }
  }
  return blocks
}

/** First pixels of a derivative along one axis in each of the master's blocks, and its end. */
function cuts(length: number, most: number, origin: number, extent: number, count: number): number[] {
  const blocks = Math.ceil(length / most)
  const scale = extent / count
  return Array.from({ length: blocks + 1 }, (_, k) => {
    if (k === 0) return 0
    if (k === blocks) return count
    const edge = Math.round((k * length) / blocks)
    return Math.max(0, Math.min(count, Math.ceil((edge - origin) / scale - 0.5)))
  })
}
