import { readFile } from 'node:fs/promises'
import { createRequire } from 'node:module'
import fontkit, { type Font } from '@pdf-lib/fontkit'
import type { PDFDocument, PDFFont } from 'pdf-lib'
import { RequestError } from '../../errors.js'

/** Scripts the typeface is cut into, in the order they are asked for a character. */
const SCRIPTS = ['latin', 'latin-ext', 'greek', 'greek-ext', 'cyrillic', 'cyrillic-ext', 'vietnamese']

/** A piece of text that one font file can set. */
export interface TextRun {
  font: PDFFont
  text: string
}

/** Splits texts into runs and embeds, cut down to what is used, the fonts they need. */
export class TextFont {
  readonly #document: PDFDocument
  readonly #files = new Map<string, Promise<{ bytes: Uint8Array; font: Font }>>()
  readonly #embedded = new Map<string, PDFFont>()

  constructor(document: PDFDocument) {
    this.#document = document
    document.registerFontkit(fontkit)
  }

  /**
   * The runs of a text, in reading order (left to right).
   * @throws RequestError naming the characters that the typeface does not have
   */
  async runs(text: string): Promise<TextRun[]> {
    const runs: { script: string; text: string }[] = []
    const missing = new Set<string>()
    for (const character of text.normalize('NFC')) {
      const last = runs.at(-1)
      if (last && (await this.#has(last.script, character))) {
        last.text += character
        continue
      }
      const script = await this.#scriptOf(character)
      if (script) runs.push({ script, text: character })
      else missing.add(character)
    }
    if (missing.size > 0) {
      const named = [...missing].map(
        (c) => `${c} (U+${c.codePointAt(0)!.toString(16).toUpperCase().padStart(4, '0')})`,
      )
      throw new RequestError({
        where: `"${text}"`,
        what: `the typeface cannot set ${named.join(', ')}`,
        expected: 'Latin, Greek, Cyrillic or Vietnamese letters, figures and punctuation',
        todo: 'Write it in other characters, or place it as part of the picture',
      })
    }
    return Promise.all(runs.map(async (run) => ({ font: await this.#embed(run.script), text: run.text })))
  }

  async #scriptOf(character: string): Promise<string | undefined> {
    for (const script of SCRIPTS) if (await this.#has(script, character)) return script
    return undefined
  }

  async #has(script: string, character: string): Promise<boolean> {
    return (await this.#file(script)).font.hasGlyphForCodePoint(character.codePointAt(0)!)
  }

  #file(script: string) {
    let file = this.#files.get(script)
    if (!file) {
      const path = createRequire(import.meta.url).resolve(
        `@fontsource/source-sans-3/files/source-sans-3-${script}-400-normal.woff`,
      )
      file = readFile(path).then((bytes) => ({ bytes, font: fontkit.create(bytes) }))
      this.#files.set(script, file)
    }
    return file
  }

  async #embed(script: string): Promise<PDFFont> {
    let font = this.#embedded.get(script)
    if (!font) {
      const { bytes } = await this.#file(script)
      // Ligatures would make some glyphs unsearchable.
      font = await this.#document.embedFont(bytes, { subset: true, features: { liga: false } })
      this.#embedded.set(script, font)
    }
    return font
  }
}
