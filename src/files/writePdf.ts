import {
  beginText,
  concatTransformationMatrix,
  drawObject,
  endText,
  lineTo,
  moveTo,
  type PDFName,
  type PDFOperator,
  type PDFPage,
  PDFRawStream,
  type PDFRef,
  PDFDocument as PdfFile,
  PDFName as PdfKey,
  PrintScaling,
  popGraphicsState,
  pushGraphicsState,
  setDashPattern,
  setFontAndSize,
  setLineWidth,
  setStrokingGrayscaleColor,
  setTextMatrix,
  showText,
  stroke,
} from 'pdf-lib'
import type { PdfDocument, PdfItem, PdfPage } from '../outputs/PdfDocument.js'
import type { Metadata } from './Metadata.js'
import { PictureStore, type SpaceName } from './pdf/PictureStore.js'
import { boxPoints, pictureMatrix, points, turnVector } from './pdf/pageGeometry.js'
import { TextFont } from './pdf/textFont.js'
import { writeAll, writeAtomically } from './writeAtomically.js'
import { xmpPacket } from './xmpPacket.js'

export interface PdfOptions {
  signal?: AbortSignal
  /** The profile a picture's space is tagged with. */
  profiles(space: SpaceName): Uint8Array
  /** Written as XMP beside the document's own title and creator. */
  metadata?: Metadata
}

/**
 * Writes a document of pages measured in millimetres: pictures of 8 bits, lossless unless a quality is asked, each colour space by its ICC profile;
 * lines; text in an embedded typeface; MediaBox, TrimBox and BleedBox. A picture or profile used twice is stored once.
 * It holds no dates, so that the same document gives the same bytes, and asks viewers to print it at its size.
 * @throws RequestError where the typeface lacks a character; WorkError where the disk refuses; Interrupted
 * Source: ISO 32000-2:2020.
 */
export async function writePdf(
  path: string,
  document: PdfDocument,
  { profiles, metadata, signal }: PdfOptions,
): Promise<void> {
  const file = await PdfFile.create({ updateMetadata: false })
  file.setTitle(document.title, { showInWindowTitleBar: true })
  file.setAuthor(document.creator)
  file.setCreator('finetooth')
  file.setProducer('finetooth')
  addXmp(file, { ...metadata, title: document.title, creator: document.creator })
  file.catalog.getOrCreateViewerPreferences().setPrintScaling(PrintScaling.None)
  const pictures = new PictureStore(file, profiles, signal)
  const font = new TextFont(file)
  for (const page of document.pages) await addPage(file, page, pictures, font)
  const bytes = await file.save({
    useObjectStreams: false,
    addDefaultPage: false,
    updateFieldAppearances: false,
  })
  await writeAtomically(path, (handle) => writeAll(handle, bytes))
}

/** The same packet that pictures carry, as the document's metadata (ISO 32000-2, 14.3.2). */
function addXmp(file: PdfFile, metadata: Metadata): void {
  const packet = xmpPacket(metadata)
  if (!packet) return
  const dictionary = file.context.obj({ Type: 'Metadata', Subtype: 'XML' })
  const ref = file.context.register(PDFRawStream.of(dictionary, packet))
  file.catalog.set(PdfKey.of('Metadata'), ref)
}

async function addPage(file: PdfFile, page: PdfPage, pictures: PictureStore, font: TextFont): Promise<void> {
  const target = file.addPage([points(page.widthMm), points(page.heightMm)])
  if (page.bleed) target.setBleedBox(...boxPoints(page.bleed, page.heightMm))
  if (page.trim) target.setTrimBox(...boxPoints(page.trim, page.heightMm))
  const names = new Map<PDFRef, PDFName>()
  const nameOf = (ref: PDFRef, make: () => PDFName) => {
    if (!names.has(ref)) names.set(ref, make())
    return names.get(ref)!
  }
  for (const item of page.items) {
    const operators =
      item.kind === 'picture'
        ? await picture(item)
        : item.kind === 'line'
          ? line(item, page.heightMm)
          : await text(item)
    target.pushOperators(pushGraphicsState(), ...operators, popGraphicsState())
  }

  async function picture(item: PdfItem & { kind: 'picture' }): Promise<PDFOperator[]> {
    const ref = await pictures.store(item.raster, item.space, item.quality)
    const name = nameOf(ref, () => target.node.newXObject('Picture', ref))
    const matrix = pictureMatrix(boxPoints(item.box, page.heightMm), item.turned ?? 0)
    return [concatTransformationMatrix(...matrix), drawObject(name)]
  }

  async function text(item: PdfItem & { kind: 'text' }): Promise<PDFOperator[]> {
    const runs = await font.runs(item.text)
    const width = runs.reduce((sum, run) => sum + run.font.widthOfTextAtSize(run.text, item.sizePt), 0)
    const [cos, sin] = turnVector(item.turned ?? 0)
    const before = item.align === 'start' ? 0 : width / 2
    const x = points(item.at[0]) - cos * before
    const y = points(page.heightMm - item.at[1]) - sin * before
    return [
      beginText(),
      setTextMatrix(cos, sin, -sin, cos, x, y),
      ...runs.flatMap((run) => [
        setFontAndSize(
          nameOf(run.font.ref, () => newFont(target, run.font.ref)),
          item.sizePt,
        ),
        showText(run.font.encodeText(run.text)),
      ]),
      endText(),
    ]
  }
}

function newFont(page: PDFPage, ref: PDFRef): PDFName {
  return page.node.newFontDictionary('Text', ref)
}

function line(item: PdfItem & { kind: 'line' }, pageHeightMm: number): PDFOperator[] {
  const [from, to] = [item.from, item.to].map(([x, y]) => [points(x), points(pageHeightMm - y)])
  return [
    setStrokingGrayscaleColor(0),
    setLineWidth(points(item.widthMm)),
    setDashPattern((item.dashMm ?? []).map(points), 0),
    moveTo(from[0], from[1]),
    lineTo(to[0], to[1]),
    stroke(),
  ]
}
