import { deflateSync } from 'node:zlib'
import { type PDFDocument, PDFRawStream, type PDFRef } from 'pdf-lib'
import type { PdfItem } from '../../outputs/PdfDocument.js'
import type { Raster } from '../../raster/Raster.js'
import { flatePicture } from './flatePicture.js'
import { jpegPicture } from './jpegPicture.js'

/** A colour space as a picture of a document names it. */
export type SpaceName = (PdfItem & { kind: 'picture' })['space']

/** Stores each picture once for each space and quality, and each profile once. */
export class PictureStore {
  readonly #file: PDFDocument
  readonly #profiles: (space: SpaceName) => Uint8Array
  readonly #signal: AbortSignal | undefined
  readonly #spaces = new Map<SpaceName, PDFRef>()
  readonly #pictures = new Map<Raster, Map<string, PDFRef>>()

  constructor(file: PDFDocument, profiles: (space: SpaceName) => Uint8Array, signal?: AbortSignal) {
    this.#file = file
    this.#profiles = profiles
    this.#signal = signal
  }

  /** @param quality of a JPEG, 1..100; lossless where left out */
  async store(raster: Raster, space: SpaceName, quality?: number): Promise<PDFRef> {
    const known = this.#pictures.get(raster) ?? new Map<string, PDFRef>()
    this.#pictures.set(raster, known)
    const key = `${space} ${quality ?? 'lossless'}`
    let ref = known.get(key)
    if (!ref) {
      const { context } = this.#file
      const { width, height } = raster
      const packing = quality
        ? { Filter: 'DCTDecode' }
        : {
            Filter: 'FlateDecode',
            DecodeParms: { Predictor: 15, Colors: 3, BitsPerComponent: 8, Columns: width },
          }
      const dictionary = context.obj({
        ...{ Type: 'XObject', Subtype: 'Image', Width: width, Height: height },
        ...{ ColorSpace: ['ICCBased', this.#space(space)], BitsPerComponent: 8 },
        ...packing,
      })
      const bytes = quality
        ? await jpegPicture(raster, quality, this.#signal)
        : await flatePicture(raster, this.#signal)
      ref = context.register(PDFRawStream.of(dictionary, bytes))
      known.set(key, ref)
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
