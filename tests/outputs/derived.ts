import { encodeTile } from '../../src/colour/encodeTile.js'
import type { Finding } from '../../src/findings.js'
import type { Derivation, MasterInfo, RenderContext } from '../../src/outputs/contract.js'
import type { PdfDocument } from '../../src/outputs/PdfDocument.js'
import { sharpened } from '../../src/outputs/sharpening/sharpened.js'
import { emptyRaster, type Raster } from '../../src/raster/Raster.js'
import { resized } from '../../src/raster/resample/resized.js'
import type { Source } from '../../src/raster/Source.js'

export function masterInfo(width: number, height: number, more: Partial<MasterInfo> = {}): MasterInfo {
  return {
    ...{ width, height, ppi: 300, ppiAssumed: false, space: 'opRGB', title: 'Harbour at low tide' },
    credit: { creator: '', rights: '', contact: '' },
    ...more,
  }
}

/** Pixels derived from a master in one go. */
export function derive(master: Source, request: Derivation): Raster {
  const target = emptyRaster(request.width, request.height)
  const picture = resized(master, request.crop, request.width, request.height)
  const source = request.sharpening ? sharpened(picture, request.sharpening) : picture
  const band = 256
  for (let y = 0; y < request.height; y += band) {
    const height = Math.min(band, request.height - y)
    encodeTile(source.region({ x: 0, y, width: request.width, height }), request.space, target)
  }
  return target
}

type Written = { path: string; raster: Raster; options: Parameters<RenderContext['writePicture']>[2] }

/** A context that keeps what an output writes. */
export function keepingContext(source: Source, info: MasterInfo, beside = new Map<string, Raster>()) {
  const asked: Derivation[] = []
  const pictures: Written[] = []
  const documents: { path: string; document: PdfDocument }[] = []
  const bytes: { path: string; bytes: Uint8Array }[] = []
  const said: Finding[] = []
  const context: RenderContext = {
    master: info,
    beside: new Map([...beside].map(([path, { width, height }]) => [path, { width, height }])),
    readPicture: async (path) => beside.get(path)!,
    derive: async (request) => {
      asked.push(request)
      return derive(source, request)
    },
    writePicture: async (path, raster, options) => {
      pictures.push({ path, raster, options })
    },
    writePdf: async (path, document) => {
      documents.push({ path, document })
    },
    writeBytes: async (path, written) => {
      bytes.push({ path, bytes: written })
    },
    say: (finding) => said.push(finding),
    progress: () => {},
    checkCancelled: () => {},
  }
  return { context, asked, pictures, documents, bytes, said }
}
