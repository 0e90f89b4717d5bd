import { scriptRuns } from './pdf/typeface.js'
import { sharp } from './sharp.js'

/** A line of text as coverage, to be laid over a picture. */
export interface TextMask {
  width: number
  height: number
  /** Rows above the baseline. */
  baseline: number
  /** `width * height` shares of ink, 0..255. */
  ink: Uint8Array
}

/**
 * Draws a line of text in the typeface that PDFs embed; no font of the system is used.
 * @param sizePx type size
 * @throws RequestError where the typeface lacks a character
 */
export async function textMask(text: string, sizePx: number): Promise<TextMask> {
  const baseline = Math.ceil(sizePx)
  const height = baseline + Math.ceil(0.35 * sizePx)
  let x = 0
  const outlines: string[] = []
  for (const { font, text: part } of await scriptRuns(text)) {
    const scale = sizePx / font.unitsPerEm
    const { glyphs, positions } = font.layout(part)
    glyphs.forEach(({ path }, i) => {
      const { xAdvance, xOffset, yOffset } = positions[i]
      const at = `translate(${x + xOffset * scale} ${baseline - yOffset * scale}) scale(${scale} ${-scale})`
      outlines.push(`<path transform="${at}" d="${path.toSVG()}"/>`)
      x += xAdvance * scale
    })
  }
  const width = Math.max(1, Math.ceil(x) + 1)
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="${width}" height="${height}">${outlines.join('')}</svg>`
  const drawn = await sharp(Buffer.from(svg)).ensureAlpha().extractChannel(3).raw().toBuffer()
  return { width, height, baseline, ink: new Uint8Array(drawn) }
}
