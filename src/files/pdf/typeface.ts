import { readFile } from 'node:fs/promises'
import { createRequire } from 'node:module'
import fontkit, { type Font } from '@pdf-lib/fontkit'
import { RequestError } from '../../errors.js'
import { unpackWoff } from './unpackWoff.js'

/** Scripts the typeface is cut into, in the order they are asked for a character. */
export const SCRIPTS = ['latin', 'latin-ext', 'greek', 'greek-ext', 'cyrillic', 'cyrillic-ext', 'vietnamese']

/** One file of the typeface. */
export interface ScriptFont {
  script: string
  bytes: Uint8Array
  font: Font
}

/** A piece of text that one font file can set. */
export interface ScriptRun extends ScriptFont {
  text: string
}

const files = new Map<string, Promise<ScriptFont>>()

/** The font file of a script; read once. */
export function scriptFont(script: string): Promise<ScriptFont> {
  let file = files.get(script)
  if (!file) {
    const path = createRequire(import.meta.url).resolve(
      `@fontsource/source-sans-3/files/source-sans-3-${script}-400-normal.woff`,
    )
    file = readFile(path).then((woff) => {
      const bytes = unpackWoff(woff)
      return { script, bytes, font: fontkit.create(bytes) }
    })
    files.set(script, file)
  }
  return file
}

/**
 * The runs of a text, in reading order (left to right).
 * @throws RequestError naming the characters that the typeface does not have
 */
export async function scriptRuns(text: string): Promise<ScriptRun[]> {
  const runs: ScriptRun[] = []
  const missing = new Set<string>()
  for (const character of text.normalize('NFC')) {
    const last = runs.at(-1)
    if (last && has(last, character)) {
      last.text += character
      continue
    }
    const file = await fontOf(character)
    if (file) runs.push({ ...file, text: character })
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
  return runs
}

async function fontOf(character: string): Promise<ScriptFont | undefined> {
  for (const script of SCRIPTS) {
    const file = await scriptFont(script)
    if (has(file, character)) return file
  }
  return undefined
}

const has = ({ font }: ScriptFont, character: string) => font.hasGlyphForCodePoint(character.codePointAt(0)!)
