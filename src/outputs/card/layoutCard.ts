import { RequestError } from '../../errors.js'
import type { Rect } from '../../raster/Rect.js'
import { MM_PER_INCH, toMm } from '../../units.js'
import type { MasterInfo } from '../contract.js'
import type { BoxMm } from '../PdfDocument.js'
import { refuseBleed } from '../shared/bleed.js'
import { cropTo, keptOf } from '../shared/cropTo.js'
import { mmWords, sizeWords } from '../shared/words.js'
import { parseSheet } from '../sheets/parseSheet.js'
import { type CardFormat, cardFormat } from './formats.js'
import { type Imposition, impose } from './impose.js'
import { type Flat, layoutFlat } from './layoutFlat.js'
import type { CardParams } from './params.js'

export interface CardLayout {
  format: CardFormat
  landscape: boolean
  flat: Flat
  imposition: Imposition
  bleedMm: number
  /** The picture with its bleed, from the flat's top left corner. */
  picture: BoxMm
  /** What of the master that is; leaves it where there is no more picture for the bleed. */
  crop: Rect
  /** What of the master the trimmed front shows. */
  shown: Rect
  effectivePpi: number
  viewingMm: number
}

/** Common practice. With no picture at the trim it still keeps the cards apart. */
const USUAL_BLEED_MM = 3
/** The longest side a page of a PDF can have: 14,400 units of 1/72 inch (ISO 32000-1:2008, annex C). */
const LONGEST_PAGE_MM = (14_400 / 72) * MM_PER_INCH

/**
 * Where everything of a card lies, in millimetres, and what of the master it shows.
 * @throws RequestError where bleed, border or sheet leave no room
 */
export function layoutCard(params: CardParams, master: MasterInfo): CardLayout {
  const { name, ppi } = params
  const format = cardFormat(params.format)
  const square = Math.abs(format.longMm - format.shortMm) < 0.5
  const landscape =
    params.orientation === 'auto'
      ? !square && master.width > master.height
      : params.orientation !== 'portrait'
  const bleedMm = params.bleed ? toMm(params.bleed, ppi) : USUAL_BLEED_MM
  refuseBleed(`card ${name}`, bleedMm)
  const flat = layoutFlat(format, landscape)
  const marginMm = toMm(params.margin, ppi)
  if (marginMm < 0) {
    throw new RequestError({
      what: `card ${name}: a margin of less than nothing`,
      expected: '0 mm or more',
      found: `${mmWords(marginMm)} mm`,
    })
  }
  const piece = { widthMm: flat.widthMm, heightMm: flat.heightMm, bleedMm }
  const sheet = parseSheet(params.sheet)
  if (sheet.heightMm > LONGEST_PAGE_MM) {
    throw new RequestError({
      what: `card ${name}: the sheet is larger than a page of a PDF can be`,
      expected: `at most ${mmWords(LONGEST_PAGE_MM)} mm a side`,
      found: sizeWords(sheet.widthMm, sheet.heightMm),
    })
  }
  const imposition = impose(name, piece, sheet, params.up, marginMm)
  const viewingMm = toMm(params.viewing, ppi)
  if (!(viewingMm > 0)) throw new RequestError({ what: `card ${name}: a viewing distance of nothing` })
  const placed =
    params.image === 'fill' ? filled(params, flat, master, bleedMm) : fitted(params, flat, master)
  const effectivePpi = placed.crop.width / (placed.picture.width / MM_PER_INCH)
  return { format, landscape, flat, imposition, bleedMm, ...placed, effectivePpi, viewingMm }
}

type Placed = Pick<CardLayout, 'picture' | 'crop' | 'shown'>

/** The front filled to its trim; beyond it the picture goes on where there is more of it. */
function filled(params: CardParams, { front, cut }: Flat, master: MasterInfo, bleedMm: number): Placed {
  const shown = cropTo(master, front.width / front.height, keptOf(`card ${params.name}`, params, master))
  const bleedPx = (bleedMm * shown.width) / front.width
  const grow = (box: BoxMm | Rect, by: number) => ({
    x: box.x - (cut.left ? by : 0),
    y: box.y - (cut.top ? by : 0),
    width: box.width + (cut.left ? by : 0) + (cut.right ? by : 0),
    height: box.height + (cut.top ? by : 0) + (cut.bottom ? by : 0),
  })
  return { shown, crop: grow(shown, bleedPx), picture: grow(front, bleedMm) }
}

/** The whole picture in the middle of the front, inside its border. */
function fitted(params: CardParams, { front }: Flat, master: MasterInfo): Placed {
  const border = toMm(params.border, params.ppi)
  const room = { width: front.width - 2 * border, height: front.height - 2 * border }
  if (border < 0 || room.width <= 0 || room.height <= 0) {
    throw new RequestError({
      what: `card ${params.name}: the border leaves nothing of the front`,
      expected: `less than ${mmWords(Math.min(front.width, front.height) / 2)} mm`,
      found: `${mmWords(border)} mm`,
    })
  }
  const { width, height } = cropTo(room, master.width / master.height, 'centre')
  const whole = { x: 0, y: 0, width: master.width, height: master.height }
  return {
    shown: whole,
    crop: whole,
    picture: {
      x: front.x + (front.width - width) / 2,
      y: front.y + (front.height - height) / 2,
      width,
      height,
    },
  }
}
