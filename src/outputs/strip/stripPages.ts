import type { SpaceName } from '../../colour/spaces/SpaceName.js'
import type { Raster } from '../../raster/Raster.js'
import { MM_PER_INCH } from '../../units.js'
import type { PdfDocument } from '../PdfDocument.js'
import { isoASheet } from '../sheets/isoSheet.js'
import { headHeight, layoutStrip, rowHeight, type StripMeasures } from './layoutStrip.js'
import type { StripContent } from './StripContent.js'

const SHEET = isoASheet(4)
const MM_PER_POINT = MM_PER_INCH / 72
/** The sheet in millimetres: margins any printer keeps, type sizes of 13, 15, 8 and 6.5 points. */
const PAGE = {
  margin: 10,
  gap: 3,
  labelWidth: 25,
  title: 13 * MM_PER_POINT,
  value: 15 * MM_PER_POINT,
  text: 8 * MM_PER_POINT,
  small: 6.5 * MM_PER_POINT,
}
/** Lower crops than this show too little: the rows go on on another sheet. */
const LEAST_CROP_MM = 24
/** Higher ones than wide show nothing more. */
const MOST_CROP_ASPECT = 0.9
/** No crop has more pixels a side, so that a strip stays quick: crops of finer captures are smaller on paper. */
const MOST_CROP_PX = 1400

/**
 * The size of a strip's crops on paper, and how many rows stand on a sheet.
 * @param ppi of the crops' pixels
 * @param picture the crops cannot be larger than it, in pixels
 */
export function pageCrop(
  content: StripContent,
  ppi: number,
  picture: { width: number; height: number },
): { widthPx: number; heightPx: number; rowsAPage: number } {
  const columns = content.columns.length
  const px = (mm: number) => Math.floor((mm / MM_PER_INCH) * ppi)
  const room = SHEET.widthMm - 2 * PAGE.margin - PAGE.labelWidth - columns * PAGE.gap
  // As wide with one or two places as with three: the sheet then has room left.
  const widthMm = room / Math.max(3, columns)
  const bare: StripMeasures = { ...PAGE, crop: { width: widthMm, height: 0 } }
  const down = SHEET.heightMm - PAGE.margin - headHeight(content, bare) + PAGE.gap
  const most = Math.max(1, Math.floor(down / (rowHeight(bare) + LEAST_CROP_MM)))
  const pages = Math.ceil(content.rows.length / most)
  const rowsAPage = Math.ceil(content.rows.length / pages)
  const heightMm = Math.min(down / rowsAPage - rowHeight(bare), widthMm * MOST_CROP_ASPECT)
  return {
    widthPx: Math.max(1, Math.min(px(widthMm), MOST_CROP_PX, picture.width)),
    heightPx: Math.max(1, Math.min(px(heightMm), MOST_CROP_PX, picture.height)),
    rowsAPage,
  }
}

/**
 * The strip as A4 sheets, every crop at its true size.
 * @param crops pixels by row and column, all of one size
 */
export function stripPages(
  content: StripContent,
  crops: readonly (readonly Raster[])[],
  { ppi, space, rowsAPage, creator }: { ppi: number; space: SpaceName; rowsAPage: number; creator: string },
): PdfDocument {
  const mm = (pixels: number) => (pixels / ppi) * MM_PER_INCH
  const { width, height } = crops[0][0]
  const measures: StripMeasures = { ...PAGE, crop: { width: mm(width), height: mm(height) } }
  const pages: PdfDocument['pages'] = []
  for (let from = 0; from < content.rows.length; from += rowsAPage) {
    const page = layoutStrip(content, measures, from, Math.min(from + rowsAPage, content.rows.length))
    pages.push({
      widthMm: SHEET.widthMm,
      heightMm: SHEET.heightMm,
      items: [
        ...page.crops.map(({ row, column, x, y }) => ({
          ...{ kind: 'picture' as const, raster: crops[row][column], space },
          box: { x, y, ...measures.crop },
        })),
        ...page.texts.map(({ text, x, y, size }) => ({
          ...{ kind: 'text' as const, text, at: [x, y] as [number, number] },
          ...{ sizePt: size / MM_PER_POINT, align: 'start' as const },
        })),
      ],
    })
  }
  return { title: content.title, creator, pages }
}
