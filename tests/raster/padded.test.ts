import { describe, expect, it } from 'vitest'
import { mirrored, padded } from '../../src/raster/padded.js'
import { tileSource } from '../helpers/readContext.js'

describe('padded', () => {
  const [width, height] = [7, 5]
  const plane = (c: number) => Float32Array.from({ length: width * height }, (_, i) => 100 * c + i)
  const source = tileSource({ rect: { x: 0, y: 0, width, height }, planes: [plane(1), plane(2), plane(3)] })

  it.each([
    { x: 1, y: 1, width: 4, height: 3 },
    { x: -3, y: -2, width: 14, height: 9 },
    { x: -6, y: 2, width: 4, height: 2 },
    { x: 6, y: 3, width: 5, height: 6 },
    { x: 9, y: -9, width: 3, height: 3 },
    { x: -20, y: -20, width: 50, height: 45 },
  ])('holds the picture inside and its mirror image outside: %o', (rect) => {
    const { planes } = padded(source, rect)
    for (let j = 0; j < rect.height; j++) {
      for (let i = 0; i < rect.width; i++) {
        const from = mirrored(rect.y + j, height) * width + mirrored(rect.x + i, width)
        expect(planes.map((values) => values[j * rect.width + i])).toEqual(
          [1, 2, 3].map((c) => 100 * c + from),
        )
      }
    }
  })
})
