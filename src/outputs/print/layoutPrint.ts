import { RequestError } from '../../errors.js'
import type { Rect } from '../../raster/Rect.js'
import { MM_PER_INCH, toMm } from '../../units.js'
import type { MasterInfo } from '../contract.js'
import type { BoxMm } from '../PdfDocument.js'
import { cropTo, keptOf } from '../shared/cropTo.js'
import { mmWords, sizeWords } from '../shared/words.js'
import { parseSheet } from '../sheets/parseSheet.js'
import type { Sheet } from '../sheets/sheets.js'
import { sheetThatHolds } from '../sheets/sheetThatHolds.js'
import type { PrintParams } from './params.js'

export interface PrintLayout {
  /** As the sheet lies, turned to suit the picture; undefined for a free size. */
  sheet?: { name: string; widthMm: number; heightMm: number; landscape: boolean }
  /** The picture on the sheet, or at 0, 0 without one. */
  picture: BoxMm
  /** What of the master is shown. */
  crop: Rect
  effectivePpi: number
  viewingMm: number
}

/** Room for rounding when sizes are compared, in millimetres. */
const SAME_MM = 0.05
/** Nearer than this no print is looked at; common practice. */
const NEAREST_VIEW_MM = 300
/** Normal viewing distance, as a multiple of the diagonal: 1.5 to 2, common practice. */
const DIAGONALS = 1.5

/**
 * Where a print lies on its sheet, how large it is and what of the master it shows.
 * @throws RequestError where the border leaves no room or the picture does not fit
 */
export function layoutPrint(params: PrintParams, master: MasterInfo): PrintLayout {
  const upright = params.sheet === undefined ? undefined : parseSheet(params.sheet)
  const placed = upright ? onSheet(params, master, upright) : free(params, master)
  const { picture, crop } = placed
  const viewingMm = params.viewing
    ? toMm(params.viewing, params.ppi)
    : Math.max(NEAREST_VIEW_MM, DIAGONALS * Math.hypot(picture.width, picture.height))
  if (!(viewingMm > 0))
    throw new RequestError({ what: `print ${params.name}: a viewing distance of nothing` })
  return { ...placed, effectivePpi: crop.width / (picture.width / MM_PER_INCH), viewingMm }
}

type Placed = Pick<PrintLayout, 'sheet' | 'picture' | 'crop'>

function free(params: PrintParams, master: MasterInfo): Placed {
  const { width, height } = sizeAsked(params, master)!
  return { picture: { x: 0, y: 0, width, height }, crop: wholeOf(master) }
}

function onSheet(params: PrintParams, master: MasterInfo, upright: Sheet): Placed {
  const border = toMm(params.border, params.ppi)
  const foot = params.foot ? toMm(params.foot, params.ppi) : border
  if (border < 0 || foot < 0)
    throw new RequestError({
      what: `print ${params.name}: a border of less than nothing`,
      expected: '0 mm or more',
      found: `${mmWords(Math.min(border, foot))} mm`,
    })
  const aspect = master.width / master.height
  const kept = keptOf(`print ${params.name}`, params, master)
  const asked = sizeAsked(params, master)
  const ways = [false, true].flatMap((landscape) => {
    const widthMm = landscape ? upright.heightMm : upright.widthMm
    const heightMm = landscape ? upright.widthMm : upright.heightMm
    const room = { width: widthMm - 2 * border, height: heightMm - border - foot }
    if (room.width <= 0 || room.height <= 0) return []
    const size = asked ?? (params.image === 'fill' ? room : cropTo(room, aspect, 'centre'))
    const shownOfMaster = cropTo(master, size.width / size.height, kept)
    const holds = size.width <= room.width + SAME_MM && size.height <= room.height + SAME_MM
    // The way that shows the picture largest, or with `fill` the most of it; of two alike the one turned as it is.
    const turned = landscape === aspect > 1 ? 1e-6 : 0
    const merit =
      (params.image === 'fill'
        ? (shownOfMaster.width * shownOfMaster.height) / (master.width * master.height)
        : (size.width * size.height) / 1e6) + turned
    return [{ landscape, widthMm, heightMm, room, size, holds, merit }]
  })
  if (ways.length === 0) {
    throw new RequestError({
      what: `print ${params.name}: the border leaves nothing of the sheet ${upright.name}`,
      expected: `less than ${mmWords(upright.widthMm / 2)} mm of the ${sizeWords(upright.widthMm, upright.heightMm)}`,
      found: `${mmWords(Math.max(border, (border + foot) / 2))} mm`,
      todo: 'Make the border narrower or take a larger sheet',
    })
  }
  const best = ways.filter(({ holds }) => holds).sort((p, q) => q.merit - p.merit)[0]
  if (!best) throw tooLarge(params, upright, asked!, border, foot)
  const { landscape, widthMm, heightMm, room, size } = best
  return {
    sheet: { name: upright.name, widthMm, heightMm, landscape },
    picture: {
      x: border + (room.width - size.width) / 2,
      y: border + (room.height - size.height) / 2,
      width: size.width,
      height: size.height,
    },
    crop: params.image === 'fill' ? cropTo(master, size.width / size.height, kept) : wholeOf(master),
  }
}

/** The size in millimetres that `image` states of itself, or undefined where the sheet decides. */
function sizeAsked(params: PrintParams, master: MasterInfo): { width: number; height: number } | undefined {
  const image = params.image ?? (params.sheet === undefined ? 'original-size' : 'fit')
  if (image === 'fit' || image === 'fill') return undefined
  const width = (master.width / master.ppi) * MM_PER_INCH
  const height = (master.height / master.ppi) * MM_PER_INCH
  const times = (factor: number) => ({ width: width * factor, height: height * factor })
  const size =
    image === 'original-size'
      ? times(1)
      : 'enlarge' in image
        ? times(image.enlarge)
        : 'width' in image
          ? times(toMm(image.width, params.ppi) / width)
          : times(toMm(image.height, params.ppi) / height)
  if (!(size.width > 0)) throw new RequestError({ what: `print ${params.name}: a size of nothing` })
  return size
}

function tooLarge(
  params: PrintParams,
  sheet: Sheet,
  size: { width: number; height: number },
  border: number,
  foot: number,
): RequestError {
  const holding = (s: Sheet) =>
    [
      [s.widthMm, s.heightMm],
      [s.heightMm, s.widthMm],
    ].some(([w, h]) => size.width <= w - 2 * border + SAME_MM && size.height <= h - border - foot + SAME_MM)
  const larger = sheetThatHolds(sheet, holding)
  return new RequestError({
    what: `print ${params.name}: the picture does not fit the sheet ${sheet.name} inside its border`,
    expected: `at most ${sizeWords(sheet.widthMm - 2 * border, sheet.heightMm - border - foot)}, either way round`,
    found: sizeWords(size.width, size.height),
    todo: larger ? `The sheet ${larger.name} holds it; or image: fit` : 'Make it smaller, or image: fit',
  })
}

function wholeOf({ width, height }: MasterInfo): Rect {
  return { x: 0, y: 0, width, height }
}
