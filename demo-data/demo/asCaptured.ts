import type { Rect } from '../../src/raster/Rect.js'
import type { Tile } from '../../src/raster/Tile.js'
import type { CutTile } from '../cutUp.js'
import { inverted } from '../geometry/inverted.js'
import type { Painting } from '../Painting.js'
import { viewed } from './viewed.js'

/** The untouched tiles laid side by side where the painter knows they belong, read as the sRGB they claim to be. */
export function asCaptured(tiles: readonly CutTile[], { width, height }: Painting, rect: Rect): Tile {
  const planes = [0, 1, 2].map(() => new Float32Array(rect.width * rect.height)) as Tile['planes']
  const middle = [Math.round(width / 2) - rect.x, Math.round(height / 2) - rect.y]
  tiles.forEach(({ raster, toPainting }, i) => {
    const left = i % 2 === 0 ? 0 : middle[0]
    const top = i < 2 ? 0 : middle[1]
    const part = {
      ...{ x: rect.x + left, y: rect.y + top },
      ...{
        width: i % 2 === 0 ? middle[0] : rect.width - middle[0],
        height: i < 2 ? middle[1] : rect.height - middle[1],
      },
    }
    viewed(raster, 'sRGB', inverted(toPainting), part).planes.forEach((plane, c) => {
      for (let y = 0; y < part.height; y++) {
        const row = plane.subarray(y * part.width, (y + 1) * part.width)
        planes[c].set(row, (top + y) * rect.width + left)
      }
    })
  })
  return { rect, planes }
}
