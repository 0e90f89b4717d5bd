/** Spelling with what people mix up taken out: case, hyphens, underscores, blanks. */
export function bare(text: string): string {
  return text.toLowerCase().replace(/[-_\s]/g, '')
}

/**
 * Edits between two words: letters put in, left out, exchanged, or two neighbours swapped.
 * Optimal string alignment distance (F. J. Damerau, "A technique for computer detection and correction of spelling
 * errors", Communications of the ACM 7(3), 1964, doi:10.1145/363958.363994).
 */
export function editDistance(a: string, b: string): number {
  let before: number[] = []
  let above = Array.from({ length: b.length + 1 }, (_, j) => j)
  for (let i = 1; i <= a.length; i++) {
    const row = [i]
    for (let j = 1; j <= b.length; j++) {
      const cost = a[i - 1] === b[j - 1] ? 0 : 1
      row[j] = Math.min(above[j] + 1, row[j - 1] + 1, above[j - 1] + cost)
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) {
        row[j] = Math.min(row[j], before[j - 2] + 1)
      }
    }
    before = above
    above = row
  }
  return above[b.length]
}

/**
 * The valid word a person most likely meant, or undefined where none is near: a word that differs by case and hyphens
 * only, else by at most two letters in five,
 * else the only one that starts with it, else the only one that holds the other.
 */
export function nearest(text: string, valid: readonly string[]): string | undefined {
  const meant = bare(text).replace(/color/g, 'colour')
  const scored = valid
    .map((word) => ({ word, edits: editDistance(meant, bare(word)) }))
    .sort((p, q) => p.edits - q.edits)
  const best = scored[0]
  if (best && best.edits <= Math.max(1, Math.floor(0.4 * Math.max(meant.length, 3)))) return best.word
  const begun = valid.filter((word) => bare(word).startsWith(meant))
  if (begun.length === 1 && meant.length > 1) return begun[0]
  if (meant.length < 3) return undefined
  const holding = valid.filter((word) => bare(word).includes(meant) || meant.includes(bare(word)))
  return holding.length === 1 ? holding[0] : undefined
}
