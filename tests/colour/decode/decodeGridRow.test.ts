import { describe, expect, it } from 'vitest'
import { curveTable } from '../../../src/colour/curves/curveTable.js'
import { decodeGridRow } from '../../../src/colour/decode/decodeGridRow.js'
import type { InputTransform } from '../../../src/colour/InputTransform.js'
import { emptyTile } from '../../../src/raster/Tile.js'

const identity = curveTable((x) => x)

/** A grid of what a function says at its nodes. */
function gridOf(size: number, at: (r: number, g: number, b: number) => readonly number[]) {
  const grid = new Float32Array(size ** 3 * 3)
  let i = 0
  for (let r = 0; r < size; r++) {
    for (let g = 0; g < size; g++) {
      for (let b = 0; b < size; b++) {
        grid.set(at(r / (size - 1), g / (size - 1), b / (size - 1)), i)
        i += 3
      }
    }
  }
  return { kind: 'grid', curves: [identity, identity, identity], size, grid } satisfies InputTransform
}

function decoded(codes: readonly number[], transform: InputTransform & { kind: 'grid' }): number[][] {
  const count = codes.length / 3
  const { planes } = emptyTile({ x: 0, y: 0, width: count, height: 1 })
  decodeGridRow(Uint16Array.from(codes), 0, transform, planes, 0, count)
  return Array.from({ length: count }, (_, i) => planes.map((plane) => plane[i]))
}

describe('decoding through a grid', () => {
  it('is exact where the grid holds a linear function, in all six tetrahedra and at the corners', () => {
    const linear = (r: number, g: number, b: number) => [
      0.5 * r + 0.3 * g + 0.2 * b,
      -0.2 * r + g + 0.1,
      0.7 * b - 0.1 * r,
    ]
    const levels = [0, 9000, 20000, 32768, 47000, 65535]
    const codes = levels.flatMap((r) => levels.flatMap((g) => levels.flatMap((b) => [r, g, b])))
    const results = decoded(codes, gridOf(5, linear))
    results.forEach((result, i) => {
      const [r, g, b] = codes.slice(3 * i, 3 * i + 3).map((code) => code / 65535)
      linear(r, g, b).forEach((value, c) => {
        expect(result[c]).toBeCloseTo(value, 6)
      })
    })
  })

  it('gives the nodes themselves', () => {
    const transform = gridOf(4, (r, g, b) => [r * g * b, r ** 2 - g, Math.sin(9 * b + r)])
    const nodes = [0, 21845, 43690, 65535]
    const codes = nodes.flatMap((r) => nodes.flatMap((g) => nodes.flatMap((b) => [r, g, b])))
    decoded(codes, transform).forEach((result, i) => {
      result.forEach((value, c) => {
        expect(value).toBeCloseTo(transform.grid[3 * i + c], 6)
      })
    })
  })

  it('keeps greys on the line between grey nodes whatever the other nodes hold', () => {
    const transform = gridOf(3, (r, g, b) => (r === g && g === b ? [r, r, r] : [9, -9, 5]))
    for (const code of [0, 1, 5000, 32767, 40000, 65535]) {
      for (const value of decoded([code, code, code], transform)[0])
        expect(value).toBeCloseTo(code / 65535, 6)
    }
  })

  it('has no step where the tetrahedra meet', () => {
    const transform = gridOf(3, (r, g, b) => [r * g + b * b, g * b - r, r * r * b])
    for (const [a, b] of [
      [
        [30000, 30000, 9000],
        [30001, 30000, 9000],
      ],
      [
        [30000, 9000, 30000],
        [30000, 9000, 30001],
      ],
      [
        [9000, 30000, 30000],
        [9000, 30001, 30000],
      ],
    ]) {
      const [one, other] = decoded([...a, ...b], transform)
      one.forEach((value, c) => {
        expect(Math.abs(value - other[c])).toBeLessThan(2e-4)
      })
    }
  })
})
