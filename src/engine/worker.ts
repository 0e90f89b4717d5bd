import { move, transferableSymbol, valueSymbol } from 'piscina'
import { encodeTile } from '../colour/encodeTile.js'
import { spaceTransform } from '../colour/spaceTransform.js'
import { decodeRaw } from '../files/raw/decodeRaw.js'
import { sha256File } from '../files/sha256File.js'
import { deriveBlock } from '../outputs/derive/deriveBlock.js'
import { reduce } from '../raster/reduce.js'
import type { Source } from '../raster/Source.js'
import type { Tile } from '../raster/Tile.js'
import { STEPS } from '../steps/registry.js'
import { buildChain } from './buildChain.js'
import type { Chain } from './Chain.js'
import { previewOf } from './previewOf.js'
import { sketchBlock } from './sketchBlock.js'
import { renderVariants } from './strip/renderVariants.js'
import type { TaskMessage } from './tasks.js'

/** Chains this worker has built, newest last; a run uses few at a time, and each holds its tables. */
const built = new Map<string, readonly Source[]>()
const KEPT_CHAINS = 4

function remembered(id: string, build: () => readonly Source[]): readonly Source[] {
  const sources = built.get(id) ?? build()
  built.delete(id)
  built.set(id, sources)
  if (built.size > KEPT_CHAINS) built.delete(built.keys().next().value!)
  return sources
}

const chained = (chain: Chain) => remembered(chain.id, () => buildChain(chain))

/** Hands tiles to the main thread without copying them. */
function handOver(value: Tile | Tile[]) {
  const buffers = new Set(
    [value].flat().flatMap(({ planes }) => planes.map((plane) => plane.buffer as ArrayBuffer)),
  )
  return move({ [transferableSymbol]: [...buffers], [valueSymbol]: value } as never)
}

/** Answers one task (see tasks.ts). Thin: everything computed here is a pure function of another room. */
export default function work(message: TaskMessage) {
  switch (message.task) {
    case 'regions': {
      const source = chained(message.chain)[message.index]
      return handOver(message.rects.map((rect) => source.region(rect)))
    }
    case 'reduced':
      return handOver(reduce(chained(message.chain)[message.index].region(message.rect), message.factor))
    case 'work':
      return STEPS.get(message.step)!.work!(chained(message.chain), message.part)
    case 'sketch':
      return handOver(sketchBlock(chained(message.chain)[message.index], message.rect, message.factor))
    case 'master':
      return encodeTile(chained(message.chain)[0].region(message.rect), message.space, message.target)
    case 'derive':
      deriveBlock(message.master, spaceTransform(message.space), message.parts)
      return null
    case 'preview':
      return previewOf(message.raster, message.space, message.longestPx)
    case 'place': {
      const { rect, place, space, target } = message
      const { planes } = chained(message.chain)[0].region(rect)
      return encodeTile(
        { rect: { ...rect, x: rect.x - place.x, y: rect.y - place.y }, planes },
        space,
        target,
      )
    }
    case 'variants':
      renderVariants(message)
      return null
    case 'raw':
      return decodeRaw(message.path, message.whiteBalance)
    case 'hash':
      return sha256File(message.path)
  }
}
