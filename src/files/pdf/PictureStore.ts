import { deflateSync } from 'node:zlib'
import { type PDFDocument, PDFRawStream, type PDFRef } from 'pdf-lib'
import type { PdfItem } from '../../outputs/PdfDocument.js'
import type { Raster } from '../../raster/Raster.js'
import { flatePicture } from './flatePicture.js'

/** A colour space as a picture of a document names it. */
export type SpaceName = (PdfItem & { kind: 'picture' })['space']

/** Stores each picture once for each space, and each profile once. */
export class PictureStore {
  readonly #file: PDFDocument
  readonly #profiles: (space: SpaceName) => Uint8Array
  readonly #signal: AbortSignal | undefined
  readonly #spaces = new Map<SpaceName, PDFRef>()
  readonly #pictures = new Map<Raster, Map<SpaceName, PDFRef>>()

  constructor(file: PDFDocument, profiles: (space: SpaceName) => Uint8Array, signal?: AbortSignal) {
    this.#file = file
    this.#profiles = profiles
    this.#signal = signal
  }

  async store(raster: Raster, space: SpaceName): Promise<PDFRef> {
    const known = this.#pictures.get(raster) ?? new Map<SpaceName, PDFRef>()
    this.#pictures.set(raster, known)
    let ref = known.get(space)
    if (!ref) {
      const { context } = this.#file
      const dictionary = context.obj({
        Type: 'XObject',
        Subtype: 'Image',
        Width: raster.width,
        Height: raster.height,
        ColorSpace: ['ICCBased', this.#space(space)],
        BitsPerComponent: 8,
        Filter: 'FlateDecode',
        DecodeParms: { Predictor: 15, Colors: 3, BitsPerComponent: 8, Columns: raster.width },
      })
      ref = context.register(PDFRawStream.of(dictionary, await flatePicture(raster, this.#signal)))
      known.set(space, ref)
    }
    return ref
  }

  #space(space: SpaceName): PDFRef {
    let ref = this.#spaces.get(space)
    if (!ref) {
      const { context } = this.#file
      const dictionary = context.obj({ N: 3, Alternate: 'DeviceRGB', Filter: 'FlateDecode' })
      ref = context.register(PDFRawStream.of(dictionary, deflateSync(this.#profiles(space), { level: 9 })))
      this.#spaces.set(space, ref)
    }
    return ref
  }
}
