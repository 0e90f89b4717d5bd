/** A number as the report and the console print it: four significant digits, no exponent, no trailing zeros. */
export function formatNumber(value: number): string {
  if (!Number.isFinite(value)) return String(value)
  const size = Math.abs(value)
  if (size < 5e-7) return '0'
  if (size >= 1000) return String(Math.round(value))
  return String(Number(value.toPrecision(size >= 1 ? 4 : 3)).toFixed(Math.min(6, decimals(value, size))))
}

const decimals = (value: number, size: number) => {
  const text = String(Number(value.toPrecision(size >= 1 ? 4 : 3)))
  return text.includes('e') ? 6 : (text.split('.')[1]?.length ?? 0)
}
