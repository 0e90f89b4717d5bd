import { emptyRaster, type Raster } from '../../raster/Raster.js'
import type { Rect } from '../../raster/Rect.js'
import { layoutStrip, type StripMeasures } from './layoutStrip.js'
import type { StripContent } from './StripContent.js'

/** The sheet on a screen, in pixels. */
const SCREEN = { margin: 28, gap: 12, labelWidth: 150, title: 24, value: 30, text: 16, small: 14 }
/** Crops of this size, three side by side, fit a screen. */
const SCREEN_CROP = { width: 420, height: 300 }

/** The sizes of a strip on screen. */
export function screenMeasures(crop: { width: number; height: number }): StripMeasures {
  return { ...SCREEN, crop }
}

/** The middle part of a crop that is shown on screen, pixel for pixel. */
export function screenCrop({ width, height }: { width: number; height: number }): Rect {
  const shown = { width: Math.min(SCREEN_CROP.width, width), height: Math.min(SCREEN_CROP.height, height) }
  return { x: (width - shown.width) >> 1, y: (height - shown.height) >> 1, ...shown }
}

/** A line of text as coverage, 0..255; see files/textMask.ts. */
export interface Ink {
  width: number
  height: number
  baseline: number
  ink: Uint8Array
}

/**
 * The strip as one picture, every crop at 100 %: black text on paper white.
 * @param crops pixels by row and column, all of one size; their middle part is shown
 * @param draw draws a line of text at a size in pixels
 */
export async function stripPicture(
  content: StripContent,
  crops: readonly (readonly Raster[])[],
  draw: (text: string, sizePx: number) => Promise<Ink>,
): Promise<Raster> {
  const shown = screenCrop(crops[0][0])
  const page = layoutStrip(content, screenMeasures(shown), 0, content.rows.length)
  const texts = await Promise.all(
    page.texts.map(async ({ text, x, y, size }) => ({ x, y, mask: await draw(text, size) })),
  )
  // The widest line decides where the crops are narrower than the words.
  const width = Math.max(page.width, ...texts.map(({ x, mask }) => Math.ceil(x) + mask.width + SCREEN.margin))
  const sheet = emptyRaster(width, Math.ceil(page.height))
  sheet.data.fill(0xffff)
  for (const { row, column, x, y } of page.crops)
    lay(crops[row][column], shown, sheet, Math.round(x), Math.round(y))
  for (const { x, y, mask } of texts) print(mask, sheet, Math.round(x), Math.round(y) - mask.baseline)
  return sheet
}

function lay(crop: Raster, shown: Rect, sheet: Raster, x: number, y: number): void {
  for (let j = 0; j < shown.height; j++) {
    const from = ((shown.y + j) * crop.width + shown.x) * 3
    sheet.data.set(crop.data.subarray(from, from + shown.width * 3), ((y + j) * sheet.width + x) * 3)
  }
}

/** Ink on white: what is covered gets darker by its share. */
function print({ width, height, ink }: Ink, sheet: Raster, x: number, y: number): void {
  for (let j = Math.max(0, -y); j < Math.min(height, sheet.height - y); j++) {
    for (let i = Math.max(0, -x); i < Math.min(width, sheet.width - x); i++) {
      const share = 1 - ink[j * width + i] / 255
      const to = ((y + j) * sheet.width + x + i) * 3
      for (let c = 0; c < 3; c++) sheet.data[to + c] = Math.round(sheet.data[to + c] * share)
    }
  }
}
