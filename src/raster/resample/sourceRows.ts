import { kernels } from '../kernels/kernels.js'
import type { Source } from '../Source.js'
import type { Rows } from './Rows.js'

/** The rows of any picture, through its regions. */
export function sourceRows(source: Source): Rows {
  const { width, height } = source
  return {
    ...{ width, height, blocks: [] },
    begin() {},
    read(y, rows, x, columns, to, planeBytes, rowBytes) {
      const { planes } = source.region({ x, y, width: columns, height: rows })
      const floats = new Float32Array(kernels().memory.buffer)
      planes.forEach((plane, c) => {
        for (let r = 0; r < rows; r++) {
          const at = (to + r * rowBytes + c * planeBytes) / 4
          floats.set(plane.subarray(r * columns, (r + 1) * columns), at)
        }
      })
    },
  }
}
