import { kernels } from '../raster/kernels/kernels.js'
import type { Raster } from '../raster/Raster.js'
import type { Rows } from '../raster/resample/Rows.js'
import { CODES } from './curves/curveTable.js'
import type { InputTransform } from './InputTransform.js'

/**
 * The rows of a picture on disk as linear light in the working space, decoded straight into the kernels' memory: the
 * same bits as `captureSource` gives.
 * @param raster encoded numbers
 * @param transform what they mean
 * @param mostColumns columns read at once, at most
 */
export function rasterRows(
  raster: Raster,
  { curves, matrix }: InputTransform & { kind: 'matrix' },
  mostColumns = raster.width,
): Rows {
  const tables = [...new Set(curves)]
  let codesAt = 0
  let matrixAt = 0
  let curvesAt: [number, number, number] = [0, 0, 0]
  return {
    width: raster.width,
    height: raster.height,
    blocks: [mostColumns * 6 + 48, 36, ...tables.map(() => CODES * 4)],
    begin([codes, numbers, ...places]) {
      codesAt = codes
      matrixAt = numbers
      curvesAt = curves.map((curve) => places[tables.indexOf(curve)]) as typeof curvesAt
      const { buffer } = kernels().memory
      new Float32Array(buffer, matrixAt, 9).set(matrix)
      tables.forEach((table, i) => {
        new Float32Array(buffer, places[i], CODES).set(table)
      })
    },
    read(y, rows, x, columns, to, planeBytes, rowBytes) {
      const { memory, decodePixels } = kernels()
      const [curveR, curveG, curveB] = curvesAt
      const codes = new Uint16Array(memory.buffer, codesAt, columns * 3 + 4)
      // A last group of fewer than four pixels takes whatever codes lie behind it along.
      const count = (columns + 3) & ~3
      for (let r = 0; r < rows; r++) {
        const from = ((y + r) * raster.width + x) * 3
        // Shared memory is copied by words only where both sides stand alike to a word, else by bytes, far slower.
        const phase = from & 3
        codes.set(raster.data.subarray(from, from + columns * 3), phase)
        const [data, at] = [codesAt + phase * 2, to + r * rowBytes]
        decodePixels(data, count, curveR, curveG, curveB, matrixAt, at, at + planeBytes, at + 2 * planeBytes)
      }
    },
  }
}
