import type { Rect } from '../../raster/Rect.js'
import type { Tile } from '../../raster/Tile.js'
import { chooseDetails, type Detail, type Ranks } from '../chooseDetails.js'

/** The most demanding first: it takes the place it wants. */
const RANKS: Ranks = {
  'Fine detail': ({ structure }) => structure,
  'Wash with drawing': ({ structure, light, chroma }, middle) =>
    (1 - light) * 0.5 +
    chroma -
    8 * Math.max(0, middle - structure) -
    4 * Math.max(0, structure - 2 * middle),
  'Blank paper': ({ structure, light }) => light - 8 * structure,
}

/**
 * The places a strip shows, from the emptiest to the fullest: blank paper, a wash with something drawn in it, fine
 * detail. Fewer where the picture is too small for three.
 * @param view small view of the picture
 * @param factor picture pixels a side of one view pixel
 * @param telling size of the part that must be telling, in pixels
 * @param whole size of the places, around that part
 */
export function choosePlaces(
  view: Tile,
  factor: number,
  picture: { width: number; height: number },
  telling: { width: number; height: number },
  whole: { width: number; height: number },
): Detail[] {
  return chooseDetails(view, factor, picture, telling, RANKS)
    .reverse()
    .map(({ title, rect }) => ({ title, rect: around(rect, whole, picture) }))
}

function around(
  rect: Rect,
  { width, height }: { width: number; height: number },
  picture: { width: number; height: number },
): Rect {
  const x = Math.round(rect.x + (rect.width - width) / 2)
  const y = Math.round(rect.y + (rect.height - height) / 2)
  return {
    x: Math.max(0, Math.min(x, picture.width - width)),
    y: Math.max(0, Math.min(y, picture.height - height)),
    width,
    height,
  }
}
