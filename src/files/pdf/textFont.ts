import fontkit from '@pdf-lib/fontkit'
import type { PDFDocument, PDFFont } from 'pdf-lib'
import { SCRIPTS, scriptRuns } from './typeface.js'

/** A piece of text that one embedded font can set. */
export interface TextRun {
  font: PDFFont
  text: string
}

/** Splits texts into runs and embeds, cut down to what is used, the fonts they need. */
export class TextFont {
  readonly #document: PDFDocument
  readonly #embedded = new Map<string, Promise<PDFFont>>()

  constructor(document: PDFDocument) {
    this.#document = document
    document.registerFontkit(fontkit)
  }

  /**
   * The runs of a text, in reading order (left to right).
   * @throws RequestError naming the characters that the typeface does not have
   */
  async runs(text: string): Promise<TextRun[]> {
    const runs = await scriptRuns(text)
    return Promise.all(
      runs.map(async ({ script, bytes, text: part }) => ({
        font: await this.#embed(script, bytes),
        text: part,
      })),
    )
  }

  #embed(script: string, bytes: Uint8Array): Promise<PDFFont> {
    let font = this.#embedded.get(script)
    if (!font) {
      // Ligatures would make some glyphs unsearchable.
      font = this.#document.embedFont(bytes, {
        subset: true,
        features: { liga: false },
        // A part of a font is named with a tag of six letters of its own (ISO 32000-2, 9.9.2).
        customName: `PARTS${'ABCDEFG'[SCRIPTS.indexOf(script)]}+SourceSans3-Regular`,
      })
      this.#embedded.set(script, font)
    }
    return font
  }
}
