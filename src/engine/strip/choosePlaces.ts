import { workingToOklab } from '../../colour/oklch.js'
import type { Rect } from '../../raster/Rect.js'
import type { Tile } from '../../raster/Tile.js'
import { chooseDetails, type Described, type Detail, type Ranks } from '../chooseDetails.js'

/** The most demanding first: it takes the place it wants. */
const RANKS: Ranks = {
  'Fine detail': ({ structure }) => structure,
  'Wash with drawing': ({ structure, light, chroma }, middle) =>
    (1 - light) * 0.5 +
    chroma -
    8 * Math.max(0, middle - structure) -
    4 * Math.max(0, structure - 2 * middle),
  'The lightest paper': ({ structure, light, chroma }) => light - 8 * structure - 2 * chroma,
}

/** Places that show a hue: where there is most of it, where it is deep, and where something is drawn in it. */
export function ranksOfHue(middleDegrees: number): Ranks {
  const cos = Math.cos((middleDegrees * Math.PI) / 180)
  const sin = Math.sin((middleDegrees * Math.PI) / 180)
  const amount = ({ mean }: Described) => {
    const [, a, b] = workingToOklab(mean)
    return a * cos + b * sin
  }
  return {
    'Most of the hue': amount,
    'Deep in tone': (place) => 2 * amount(place) + 0.2 * (1 - place.light),
    'With detail': (place) => amount(place) + 2 * place.structure,
  }
}

/**
 * The places a strip shows, from the emptiest to the fullest: blank paper, a wash with something drawn in it, fine
 * detail. Fewer where the picture is too small for three.
 * @param view small view of the picture
 * @param factor picture pixels a side of one view pixel
 * @param telling size of the part that must be telling, in pixels
 * @param whole size of the places, around that part
 * @param ranks what is looked for, in the order it is chosen; shown the other way round
 */
export function choosePlaces(
  view: Tile,
  factor: number,
  picture: { width: number; height: number },
  telling: { width: number; height: number },
  whole: { width: number; height: number },
  ranks = RANKS,
): Detail[] {
  return chooseDetails(view, factor, picture, telling, ranks)
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
