/** Significant digits a person compares numbers by; whole numbers keep all of theirs. */
const DIGITS = 3

/** A number as the report prints it: three significant digits, no exponent, no trailing zeros, never a whole digit lost. */
export function formatNumber(value: number): string {
  if (!Number.isFinite(value)) return String(value)
  const size = Math.abs(value)
  if (size < 5e-7) return '0'
  if (size >= 10 ** (DIGITS - 1)) return String(Math.round(value))
  const rounded = Number(value.toPrecision(DIGITS))
  return rounded.toFixed(Math.min(6, decimals(rounded)))
}

/** Decimals of a number's shortest decimal form. */
const decimals = (value: number) => {
  const text = String(value)
  return text.includes('e') ? 6 : (text.split('.')[1]?.length ?? 0)
}
