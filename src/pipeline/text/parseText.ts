import { LineCounter, parseDocument } from 'yaml'
import type { Problem } from '../../errors.js'
import type { Node } from './Node.js'
import { type Place, where } from './Place.js'
import { toTree } from './toTree.js'

/**
 * Reads YAML into a tree with positions. Doubled keys are found here; `color` in a key is read as `colour`.
 * @param text YAML, one document
 * @param start the place of the text's first character; `line` 0 where there is no file to point into
 * @returns the tree (undefined where nothing is written) and all mistakes of spelling the YAML itself has
 */
export function parseText(text: string, start: Place): { node?: Node; problems: Problem[] } {
  const lines = new LineCounter()
  const document = parseDocument(text, { lineCounter: lines, prettyErrors: false, uniqueKeys: false })
  const placeAt = (offset: number): Place => {
    if (start.line === 0) return start
    const { line, col } = lines.linePos(offset)
    return { ...start, line, column: col }
  }
  // One slip makes the reader stumble several times over the same line: the first is the one to mend.
  const lineOf = ({ pos }: { pos: [number, number] }) => lines.linePos(pos[0]).line
  const slips = [...document.errors, ...document.warnings].filter(
    (slip, i, all) => all.findIndex((other) => lineOf(other) === lineOf(slip)) === i,
  )
  const problems: Problem[] = slips.map((slip) => ({
    where: where(placeAt(slip.pos[0])),
    what: `the YAML cannot be read: ${plainWords(slip.code, slip.message)}`,
  }))
  if (problems.length > 0 || !document.contents) return { problems }

  return toTree(document, placeAt)
}

/** The YAML reader's commonest complaints in the words of someone who writes a pipeline, else its own words. */
function plainWords(code: string, message: string): string {
  const known: Record<string, string> = {
    TAB_AS_INDENT: 'a tab stands where the line is indented; use blanks',
    BAD_INDENT: /^flow/i.test(message)
      ? 'a bracket above is not closed, or the lines inside it are not indented'
      : 'the line is indented differently from its neighbours',
    MISSING_CHAR: `${lowerFirst(message)}; a bracket, quote or colon is missing`,
    BLOCK_AS_IMPLICIT_KEY:
      'two colons in one line, or a line indented too far; put a text with a colon in quotes',
    MULTIPLE_DOCS: 'the file holds several documents (---); a pipeline is one',
    TAG_RESOLVE_FAILED: 'tags (!name) have no meaning here',
    UNEXPECTED_TOKEN: `${lowerFirst(message)}; put a text that starts with a special character in quotes`,
  }
  return (known[code] ?? lowerFirst(message)).replace(/\.$/, '')
}

function lowerFirst(text: string): string {
  return text.charAt(0).toLowerCase() + text.slice(1)
}
