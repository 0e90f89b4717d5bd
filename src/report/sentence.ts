/** A statement as a sentence: a capital letter first (unless a name in another case stands there), a stop at its end. */
export function sentence(text: string): string {
  const trimmed = text.trim()
  const capital = /^[a-z][a-z']*[\s,:]/.test(trimmed) ? trimmed[0].toUpperCase() + trimmed.slice(1) : trimmed
  return /[.!?]$/.test(capital) ? capital : `${capital}.`
}
