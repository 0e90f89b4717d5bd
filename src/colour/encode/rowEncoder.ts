import { kernels } from '../../raster/kernels/kernels.js'
import type { SpaceName } from '../spaces/SpaceName.js'
import { workingTo } from '../working.js'
import { LEAST_UNCLIPPED, MOST_UNCLIPPED } from './encodePlanes.js'
import { encodingTable } from './encodingTable.js'

/** Encodes rows that lie in the kernels' memory already: the same bits as `encodeTile`. */
export interface RowEncoder {
  /** Lengths of the blocks of kernel memory that it keeps. */
  blocks: readonly number[]
  /** Puts what it needs into its blocks. */
  begin(blocks: readonly number[]): void
  /**
   * @param at byte offset of the first plane of working linear light; the next lies `planeBytes` further. Up to three
   * floats behind each are read and not used
   * @param count pixels
   * @param target takes their codes, interleaved
   * @param from index in it of the first
   */
  encode(at: number, planeBytes: number, count: number, target: Uint16Array, from: number): void
}

/** @param mostPixels the longest row */
export function rowEncoder(space: SpaceName, mostPixels: number): RowEncoder {
  const { codes, shift, offset, least } = encodingTable(space)
  let [matrix, clipped, table, out] = [0, 0, 0, 0]
  // Views on the row at each of its four places: one made anew for every row would be swept up again after it.
  const views: (Uint16Array | undefined)[] = []
  return {
    blocks: [36, 8, codes.byteLength, ((mostPixels + 3) & ~3) * 6 + 32],
    begin(blocks) {
      ;[matrix, clipped, table, out] = blocks
      views.length = 0
      const { buffer } = kernels().memory
      new Float32Array(buffer, matrix, 9).set(workingTo(space))
      new Float32Array(buffer, table, codes.length).set(codes)
    },
    encode(at, planeBytes, count, target, from) {
      const { memory, encodePixels } = kernels()
      // Shared memory is copied by words only where both sides stand alike to a word, else by bytes, far slower.
      const to = out + (from & 3) * 2
      // biome-ignore format: planes, table, what counts as cut off, results
      encodePixels(
        at, at + planeBytes, at + 2 * planeBytes, (count + 3) & ~3, matrix,
        table, shift, offset, codes.length - 2, least, LEAST_UNCLIPPED, MOST_UNCLIPPED,
        to, clipped,
      )
      let row = views[from & 3]
      if (row?.length !== count * 3 || row.buffer !== memory.buffer) {
        row = views[from & 3] = new Uint16Array(memory.buffer, to, count * 3)
      }
      target.set(row, from)
    },
  }
}
