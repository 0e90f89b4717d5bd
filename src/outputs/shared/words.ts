/** `297 x 420 mm`, with a decimal only where there is one. */
export function sizeWords(widthMm: number, heightMm: number): string {
  return `${mmWords(widthMm)} x ${mmWords(heightMm)} mm`
}

/** Millimetres to a tenth. */
export function mmWords(mm: number): string {
  return String(Number(mm.toFixed(1)))
}
