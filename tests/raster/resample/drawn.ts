import type { Rect } from '../../../src/raster/Rect.js'
import type { Source } from '../../../src/raster/Source.js'
import { emptyTile, type Tile } from '../../../src/raster/Tile.js'

/** A picture given by a function of pixel position and channel; keeps the size of the largest region asked for. */
export function drawn(
  width: number,
  height: number,
  at: (x: number, y: number, c: number) => number,
): Source & { largest: number } {
  return {
    width,
    height,
    largest: 0,
    region(rect) {
      this.largest = Math.max(this.largest, rect.width * rect.height)
      const tile = emptyTile(rect)
      tile.planes.forEach((plane, c) => {
        for (let y = 0; y < rect.height; y++)
          for (let x = 0; x < rect.width; x++) plane[y * rect.width + x] = at(rect.x + x, rect.y + y, c)
      })
      return tile
    },
  }
}

/** Evenly spread numbers 0..1 that depend on the place alone. */
export function noise(x: number, y: number, c: number): number {
  let h = Math.imul(x + 7919, 0x9e3779b1) ^ Math.imul(y + 104729, 0x85ebca6b) ^ Math.imul(c + 1, 0xc2b2ae35)
  h = Math.imul(h ^ (h >>> 15), 0x2c1b3c6d)
  return ((h ^ (h >>> 13)) >>> 0) / 2 ** 32
}

export const whole = ({ width, height }: Source): Rect => ({ x: 0, y: 0, width, height })
export const all = (source: Source): Tile => source.region(whole(source))
