import { describe, expect, it } from 'vitest'
import { seeded } from '../../../demo-data/painter/seeded.js'
import { kernels, scratch } from '../../../src/raster/kernels/kernels.js'
import { PHASES, TAPS, TAPS_BEFORE, tapTable } from '../../../src/raster/warp/tapTable.js'
import { structure } from '../../../src/steps/stitch/views/structure.js'

const random = seeded(12, 1)
const noise = (count: number, least: number, most: number) =>
  Float32Array.from({ length: count }, () => random.between(least, most))

/** Runs a kernel on planes brought to its memory; answers with the blocks as they are then. */
function withBlocks(
  blocks: readonly ArrayLike<number>[],
  lengths: readonly number[],
  run: (at: number[]) => void,
) {
  const at = scratch(...blocks.map(({ length }) => length * 4), ...lengths)
  const floats = new Float32Array(kernels().memory.buffer)
  for (const [i, block] of blocks.entries()) floats.set(block, at[i] / 4)
  run(at)
  return at
}

describe('the kernels of windows', () => {
  const [size, stride, margin] = [30, 32, 6]

  it.each([
    [0, 0, 0.25, 0.75],
    [-2, 1, 0.5, 0],
    [1, -2, 0.999, 0.001],
  ])('move a plane by %i and %i pixels and parts of them', (x, y, partX, partY) => {
    const plane = noise(stride * size, -1, 1)
    const table = tapTable()
    const rowOf = (part: number) => {
      const phase = Math.trunc(part * PHASES + 0.5)
      return table.subarray(phase * TAPS, (phase + 1) * TAPS)
    }
    const [tapsX, tapsY] = [rowOf(partX), rowOf(partY)]
    const [first, last] = [margin - 1, size - margin + 1]
    const bytes = plane.byteLength
    const at = withBlocks([plane, tapsX, tapsY], [bytes, bytes], ([from, atX, atY, to, work]) => {
      kernels().shiftPlane(from, to, work, stride, first, last, x, y, atX, atY)
    })
    const got = new Float32Array(kernels().memory.buffer, at[3], plane.length)
    for (let j = first; j < last; j++) {
      for (let i = first; i < last; i++) {
        let want = 0
        for (let l = 0; l < TAPS; l++) {
          for (let k = 0; k < TAPS; k++) {
            want += tapsX[k] * tapsY[l] * plane[(j + y - TAPS_BEFORE + l) * stride + i + x - TAPS_BEFORE + k]
          }
        }
        expect(Math.abs(got[j * stride + i] - want)).toBeLessThan(2e-6)
      }
    }
  })

  it('sum what two windows have in common and differ by', () => {
    const [a, b] = [noise(stride * size, -1, 1), noise(stride * size, -1, 1)]
    const [first, last] = [7, 22]
    const at = withBlocks([a, b], [72], ([p, q, sums]) => {
      kernels().compareWindows(p, q, stride, first, last, sums)
    })
    const want = new Float64Array(9)
    for (let j = first; j < last; j++) {
      for (let i = first; i < last; i++) {
        const k = j * stride + i
        const gx = (a[k + 1] - a[k - 1] + b[k + 1] - b[k - 1]) / 4
        const gy = (a[k + stride] - a[k - stride] + b[k + stride] - b[k - stride]) / 4
        const d = b[k] - a[k]
        for (const [s, term] of [
          ...[gx * gx, gx * gy, gy * gy, gx * d, gy * d],
          ...[d * d, a[k] * b[k], a[k] * a[k], b[k] * b[k]],
        ].entries()) {
          want[s] += term
        }
      }
    }
    const got = new Float64Array(kernels().memory.buffer, at[2], 9)
    for (const [i, value] of want.entries()) expect(Math.abs(got[i] - value)).toBeLessThan(1e-4)
  })

  it('see light as logarithms: of luminance, and of red and blue against green', () => {
    const [width, height] = [18, 14]
    const planes = [0, 1, 2].map(() => noise(width * height, 0, 1))
    planes[0][5] = -0.2
    const logs = planes.map((plane) => plane.map((value) => Math.log(Math.max(value, 0.01))))
    const seen = [
      logs[0].map((r, i) => 0.3 * r + 0.6 * logs[1][i] + 0.1 * logs[2][i]),
      logs[0].map((r, i) => r - logs[1][i]),
      logs[2].map((b, i) => b - logs[1][i]),
    ]
    // A mean over the whole picture is all that a very wide blur leaves.
    const bands = structure(planes, width, height, 0, 400).planes
    for (const [c, band] of bands.entries()) {
      const mean = seen[c].reduce((sum, value) => sum + value, 0) / seen[c].length
      for (const [i, value] of band.entries())
        expect(Math.abs(value - (seen[c][i] - mean))).toBeLessThan(4e-6)
    }
  })
})
