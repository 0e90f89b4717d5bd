import { readFile } from 'node:fs/promises'
import { getDocument, OPS } from 'pdfjs-dist/legacy/build/pdf.mjs'

/** A picture as a reader of PDFs finds it on a page. */
export interface FoundPicture {
  page: number
  width: number
  height: number
  /** Interleaved RGB, 8 bits, as stored. */
  pixels: Uint8Array
  /** Where it lies, from the page's top left corner. */
  xMm: number
  yMm: number
  widthMm: number
  heightMm: number
}

type Matrix = [a: number, b: number, c: number, d: number, e: number, f: number]
const MM_PER_POINT = 25.4 / 72

/** Every picture of a PDF, read by pdfjs-dist. */
export async function picturesOf(path: string): Promise<FoundPicture[]> {
  const task = getDocument({
    data: new Uint8Array(await readFile(path)),
    verbosity: 0,
    isImageDecoderSupported: false,
  })
  const document = await task.promise
  const found: FoundPicture[] = []
  for (let number = 1; number <= document.numPages; number++) {
    const page = await document.getPage(number)
    const pageHeight = page.view[3] - page.view[1]
    const { fnArray, argsArray } = await page.getOperatorList()
    const stack: Matrix[] = []
    let at: Matrix = [1, 0, 0, 1, 0, 0]
    for (const [i, operator] of fnArray.entries()) {
      if (operator === OPS.save) stack.push(at)
      else if (operator === OPS.restore) at = stack.pop()!
      else if (operator === OPS.transform) at = times(at, argsArray[i] as Matrix)
      else if (operator === OPS.paintImageXObject) {
        const [id] = argsArray[i] as [string]
        const store = id.startsWith('g_') ? page.commonObjs : page.objs
        const image = await new Promise<{ width: number; height: number; data: Uint8Array; kind: number }>(
          (done) => store.get(id, done),
        )
        const [a, b, c, d, e, f] = at
        const xs = [e, e + a, e + c, e + a + c]
        const ys = [f, f + b, f + d, f + b + d]
        const [x0, x1, y0, y1] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)]
        found.push({
          page: number,
          ...{ width: image.width, height: image.height, pixels: rgbOf(image) },
          ...{ xMm: x0 * MM_PER_POINT, yMm: (pageHeight - y1) * MM_PER_POINT },
          ...{ widthMm: (x1 - x0) * MM_PER_POINT, heightMm: (y1 - y0) * MM_PER_POINT },
        })
      }
    }
  }
  await task.destroy()
  return found
}

/** pdfjs hands pictures over as RGB or as RGBA. */
function rgbOf({ width, height, data }: { width: number; height: number; data: Uint8Array }): Uint8Array {
  const channels = data.length / (width * height)
  if (channels === 3) return new Uint8Array(data)
  return Uint8Array.from({ length: width * height * 3 }, (_, i) => data[Math.floor(i / 3) * 4 + (i % 3)])
}

const times = ([a, b, c, d, e, f]: Matrix, [g, h, i, j, k, l]: Matrix): Matrix => [
  ...([a * g + c * h, b * g + d * h, a * i + c * j, b * i + d * j] as const),
  ...([a * k + c * l + e, b * k + d * l + f] as const),
]
