import type { Raster } from '../../raster/Raster.js'
import type { MasterInfo } from '../contract.js'
import type { BoxMm, PdfDocument, PdfItem, PdfPage } from '../PdfDocument.js'
import { insideLines } from './insideLines.js'
import { marks } from './marks.js'
import type { CardParams } from './params.js'
import type { CardPlan } from './planCard.js'
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
  const page = (items: PdfItem[]): PdfPage => ({ widthMm: sheet.widthMm, heightMm: sheet.heightMm, items })
  const lines = marks(imposition, bleedMm, flat.fold)
  const outside = pieces.flatMap((piece): PdfItem[] => [
    { kind: 'picture', box: moved(layout.picture, piece), raster: picture, space: derivation.space },
    ...textLines(`card ${params.name}: back`, params.back, moved(flat.back, piece), flat.backTurned),
  ])
  const pages = [page([...outside, ...lines])]
  if (params.inside !== 'blank') {
    pages.push(page(pieces.flatMap((piece) => insideLines(params, flat, turnedOver(piece, sheet.widthMm)))))
  }
  return { title: `${master.title}: ${params.name}`, creator: master.credit.creator, pages }
}

function moved(box: BoxMm, by: { x: number; y: number }): BoxMm {
  return { ...box, x: box.x + by.x, y: box.y + by.y }
}

/** Where a piece lies once the sheet is turned over, left edge to right. */
function turnedOver(piece: BoxMm, sheetWidthMm: number): BoxMm {
  return { ...piece, x: sheetWidthMm - piece.x - piece.width }
}
