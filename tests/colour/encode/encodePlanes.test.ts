import { describe, expect, it } from 'vitest'
import { encodePlanes, LEAST_UNCLIPPED, MOST_UNCLIPPED } from '../../../src/colour/encode/encodePlanes.js'
import { encodingTable } from '../../../src/colour/encode/encodingTable.js'
import { SPACE_NAMES, type SpaceName } from '../../../src/colour/spaces/SpaceName.js'
import { workingTo } from '../../../src/colour/working.js'
import { emptyTile, type Tile } from '../../../src/raster/Tile.js'

const { fround } = Math

/** The kernel in plain TypeScript: float32 arithmetic, rounded after every operation. */
function twin({ planes }: Tile, name: SpaceName) {
  const { codes, shift, offset, least } = encodingTable(name)
  const m = [...workingTo(name)].map(fround)
  const float = new Float32Array(1)
  const bits = new Int32Array(float.buffer)
  const data = new Uint16Array(planes[0].length * 3)
  const clipped = { clippedLow: 0, clippedHigh: 0 }
  for (let i = 0; i < data.length; i++) {
    const row = (i % 3) * 3
    const [x, y, z] = planes.map((plane) => plane[Math.floor(i / 3)])
    const light = fround(fround(fround(m[row] * x) + fround(m[row + 1] * y)) + fround(m[row + 2] * z))
    float[0] = light
    if (!(light >= fround(LEAST_UNCLIPPED))) clipped.clippedLow++
    if (light > fround(MOST_UNCLIPPED)) clipped.clippedHigh++
    if (light >= 1) data[i] = 65535
    else if (light >= fround(least)) {
      const index = (bits[0] >> shift) - offset
      const part = (bits[0] & ((1 << shift) - 1)) / (1 << shift)
      data[i] = fround(codes[index] + fround(fround(codes[index + 1] - codes[index]) * part))
    }
  }
  return { data, clipped }
}

function randomTile(width: number, height: number): Tile {
  const tile = emptyTile({ x: 0, y: 0, width, height })
  let state = 41
  for (const plane of tile.planes) {
    for (let i = 0; i < plane.length; i++) {
      state = (Math.imul(state, 1664525) + 1013904223) >>> 0
      const share = state / 2 ** 32
      // From far below nothing to above white, most of it dark.
      plane[i] = i % 11 === 0 ? share * 3 - 1 : share ** 6
    }
  }
  tile.planes[1].set([
    0,
    -0,
    1,
    Number.NaN,
    Number.POSITIVE_INFINITY,
    Number.NEGATIVE_INFINITY,
    1e-40,
    -1e-40,
  ])
  return tile
}

describe.each(SPACE_NAMES)('encoding in %s', (name) => {
  // Sizes with rows that are no multiple of four pixels, and more than one band.
  it.each([
    [1, 1],
    [3, 1],
    [5, 7],
    [333, 151],
    [40_001, 1],
  ])('by the kernel has the bits of plain TypeScript, %i x %i', (width, height) => {
    const tile = randomTile(Math.max(width, 8), height)
    const got = new Uint16Array(tile.planes[0].length * 3)
    const rowLength = tile.rect.width * 3
    const place = (row: number) => row * rowLength
    const write = (row: number, codes: Uint16Array) => {
      expect(codes.length).toBe(rowLength)
      expect((codes.byteOffset / 2) & 3).toBe(place(row) & 3)
      got.set(codes, place(row))
    }
    const clipped = encodePlanes(tile, name, write, place)
    const wanted = twin(tile, name)
    expect(clipped).toEqual(wanted.clipped)
    expect(Buffer.compare(Buffer.from(got.buffer), Buffer.from(wanted.data.buffer))).toBe(0)
  })
})
