import type { Raster } from '../../raster/Raster.js'
import { toMm } from '../../units.js'
import type { MasterInfo } from '../contract.js'
import type { BoxMm, PdfDocument, PdfItem, PdfPage } from '../PdfDocument.js'
import { insideLines } from './insideLines.js'
import { marks } from './marks.js'
import type { CardParams } from './params.js'
import type { CardPlan } from './planCard.js'
import { sheetNote } from './sheetNote.js'
import { textLines } from './textLines.js'

/**
 * The imposed card as a document: the outside, and the inside where it has a line. Each page is the whole print sheet.
 * @param picture the front with its bleed, placed on every card
 */
export function composeCard(
  params: CardParams,
  { layout, derivation }: CardPlan,
  master: MasterInfo,
  picture: Raster,
): PdfDocument {
  const { flat, imposition, bleedMm } = layout
  const { sheet, pieces } = imposition
  const page = (items: PdfItem[], on: readonly BoxMm[]): PdfPage => ({
    widthMm: sheet.widthMm,
    heightMm: sheet.heightMm,
    // A page has one trim: where several cards lie on it, the marks alone say where to cut.
    ...(on.length === 1 ? { trim: on[0], bleed: grown(on[0], bleedMm) } : {}),
    items,
  })
  /** The picture once more, on the other side of a fold on top. */
  const upsideDown = ({ x, y, width, height }: BoxMm, piece: BoxMm): PdfItem => ({
    ...{ kind: 'picture', raster: picture, space: derivation.space, turned: 180 },
    box: {
      x: 2 * piece.x + piece.width - x - width,
      y: 2 * piece.y + piece.height - y - height,
      width,
      height,
    },
  })
  const lines = marks(imposition, bleedMm, flat.fold)
  const outside = pieces.flatMap((piece): PdfItem[] => [
    { kind: 'picture', box: moved(layout.picture, piece), raster: picture, space: derivation.space },
    ...(params.orientation === 'tent' ? [upsideDown(moved(layout.picture, piece), piece)] : []),
    ...textLines(`card ${params.name}: back`, params.back, moved(flat.back, piece), flat.backTurned),
  ])
  const note = (side: string) =>
    sheetNote(
      `${master.title}: ${params.name}, ${side}`,
      imposition,
      bleedMm,
      toMm(params.margin, params.ppi),
    )
  const pages = [page([...outside, ...lines, ...note('outside')], pieces)]
  if (params.inside !== 'blank') {
    const turned = pieces.map((piece) => turnedOver(piece, sheet.widthMm))
    const inside = turned.flatMap((piece) => insideLines(params, flat, piece))
    pages.push(page([...inside, ...note('inside, on the back of the sheet')], turned))
  }
  return { title: `${master.title}: ${params.name}`, creator: master.credit.creator, pages }
}

function moved(box: BoxMm, by: { x: number; y: number }): BoxMm {
  return { ...box, x: box.x + by.x, y: box.y + by.y }
}

function grown({ x, y, width, height }: BoxMm, by: number): BoxMm {
  return { x: x - by, y: y - by, width: width + 2 * by, height: height + 2 * by }
}

/** Where a piece lies once the sheet is turned over, left edge to right. */
function turnedOver(piece: BoxMm, sheetWidthMm: number): BoxMm {
  return { ...piece, x: sheetWidthMm - piece.x - piece.width }
}
