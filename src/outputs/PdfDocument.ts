import type { SpaceName } from '../colour/spaces/SpaceName.js'
import type { Raster } from '../raster/Raster.js'

/** Millimetres on a page, origin at the top left, y downwards. */
export interface BoxMm {
  x: number
  y: number
  width: number
  height: number
}

export type PdfItem =
  /**
   * Placed with 8 bits, tagged with its space's profile, lossless or as JPEG of a quality 1..100. The picture is turned
   * clockwise, then fills the box.
   */
  | {
      kind: 'picture'
      box: BoxMm
      raster: Raster
      space: SpaceName
      turned?: 0 | 90 | 180 | 270
      quality?: number
    }
  | {
      kind: 'line'
      from: [x: number, y: number]
      to: [x: number, y: number]
      widthMm: number
      dashMm?: number[]
    }
  /** `at` is the middle of the baseline, or its start where `align` says so. */
  | {
      kind: 'text'
      text: string
      at: [x: number, y: number]
      sizePt: number
      turned?: 0 | 90 | 180 | 270
      align?: 'middle' | 'start'
    }

export interface PdfPage {
  widthMm: number
  heightMm: number
  /** TrimBox and BleedBox of the page, where the page is one piece; imposed sheets leave them out. */
  trim?: BoxMm
  bleed?: BoxMm
  items: PdfItem[]
}

/** A document of pages measured in millimetres; what `files/` turns into PDF. */
export interface PdfDocument {
  title: string
  creator: string
  pages: PdfPage[]
}
