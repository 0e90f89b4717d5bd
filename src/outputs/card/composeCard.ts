import type { Raster } from '../../raster/Raster.js'
import { toMm } from '../../units.js'
import type { MasterInfo } from '../contract.js'
import type { BoxMm, PdfDocument, PdfItem, PdfPage } from '../PdfDocument.js'
import { layoutBack } from './layoutBack.js'
import { marks } from './marks.js'
import type { CardParams } from './params.js'
import type { CardPlan } from './planCard.js'
import { insideLines, reverseOf } from './reverseOf.js'
import { sheetNote } from './sheetNote.js'

/**
 * The imposed card as a document: the outside, and the other side of the sheet where it shows something. Each page is the whole print sheet.
 * @param picture the front with its bleed, placed on every card
 * @param mark what stands on the back, where the params name one
 */
export function composeCard(
  params: CardParams,
  { layout, derivation }: CardPlan,
  master: MasterInfo,
  picture: Raster,
  mark?: Raster,
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
    ...{ kind: 'picture', raster: picture, space: derivation.space, turned: 180, quality },
    box: {
      x: 2 * piece.x + piece.width - x - width,
      y: 2 * piece.y + piece.height - y - height,
      width,
      height,
    },
  })
  const lines = marks(imposition, bleedMm, flat.fold)
  const { quality } = params
  const back = (piece: BoxMm): PdfItem[] => {
    const { lines, mark: box } = layoutBack(params, flat, piece, mark)
    const placed: PdfItem[] = box
      ? [{ kind: 'picture', box, raster: mark!, space: derivation.space, turned: flat.backTurned }]
      : []
    return [...placed, ...lines]
  }
  const front = { kind: 'picture' as const, raster: picture, space: derivation.space, quality }
  const outside = pieces.flatMap((piece): PdfItem[] => [
    { ...front, box: moved(layout.picture, piece) },
    ...(params.orientation === 'tent' ? [upsideDown(moved(layout.picture, piece), piece)] : []),
    ...(flat.backOn === 'outside' ? back(piece) : []),
  ])
  const note = (side: string) =>
    sheetNote(
      `${master.title}: ${params.name}, ${side}`,
      imposition,
      bleedMm,
      toMm(params.margin, params.ppi),
    )
  const first = flat.backOn === 'outside' ? 'outside' : 'front'
  const pages = [page([...outside, ...lines, ...note(first)], pieces)]
  const reverse = reverseOf(params, flat)
  if (reverse) {
    const turned = pieces.map((piece) => turnedOver(piece, sheet.widthMm))
    const items = turned.flatMap((piece) =>
      reverse === 'back' ? back(piece) : insideLines(params, flat, piece),
    )
    pages.push(page([...items, ...note(`${reverse}, on the back of the sheet`)], turned))
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
