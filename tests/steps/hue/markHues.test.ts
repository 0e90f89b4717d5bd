import { expect, it } from 'vitest'
import type { Vector3 } from '../../../src/colour/matrix3.js'
import { oklchToWorking } from '../../../src/colour/oklch.js'
import { emptyTile, type Tile } from '../../../src/raster/Tile.js'
import { paramsSchema } from '../../../src/steps/hue/params.js'
import { rules } from '../../../src/steps/hue/rules.js'
import { shiftPixel, shiftPlanes } from '../../../src/steps/hue/shiftPlanes.js'
import { NEUTRAL_CHROMA } from '../../../src/steps/hue/weight.js'

/** Colours thick about everything a rule's hold ends at: its edges, the neutral chroma, black and above white. */
function manyColours(count: number): Tile {
  const tile = emptyTile({ x: 0, y: 0, width: count, height: 1 })
  let state = 61
  const random = () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0
    return state / 2 ** 32
  }
  for (let i = 0; i < count; i++) {
    const lightness = [random(), random() * 0.1, 1 + random(), 0.6][i % 4]
    const chroma = i % 3 ? random() * 0.3 : NEUTRAL_CHROMA * (1 + (random() - 0.5) * 1e-3)
    const edge = [239, 289, 60, 120, 20][i % 5]
    const hue = i % 2 ? random() * 360 : edge + (random() - 0.5) * 1e-3
    const colour: Vector3 =
      i % 13 === 0
        ? [random() * 4 - 1, random() * 4 - 1, random() * 4 - 1]
        : oklchToWorking([lightness, chroma, hue])
    for (let c = 0; c < 3; c++) tile.planes[c][i] = colour[c]
  }
  return tile
}

it.each([
  ['one entry', [{ around: 264, width: 50, shift: -6 }]],
  [
    'three that overlap',
    [
      { around: 264, width: 50, shift: 9 },
      { around: 90, width: 60, chroma: '50%' },
      { around: 200, width: 360, lightness: 4 },
    ],
  ],
  ['a narrow one', [{ around: 20, width: 1, shift: 0.2 }]],
])('marking by the kernel leaves out nothing: %s', (_name, entries) => {
  const all = rules(paramsSchema.parse(entries))
  // More than one band, and no multiple of four.
  const marked = manyColours(50_003)
  const wanted = manyColours(50_003)
  shiftPlanes(marked.planes, all)
  for (let i = 0; i < wanted.planes[0].length; i++) shiftPixel(wanted.planes, i, all)
  wanted.planes.forEach((plane, c) => {
    expect(Buffer.compare(Buffer.from(marked.planes[c].buffer), Buffer.from(plane.buffer))).toBe(0)
  })
  const untouched = manyColours(50_003)
  expect(untouched.planes[0].some((value, i) => value !== wanted.planes[0][i])).toBe(true)
})
