/** `3.4 s`, `2 min 5 s`, `1 h 12 min`. */
export function timeWords(seconds: number): string {
  if (seconds < 9.95) return `${seconds.toFixed(1)} s`
  const whole = Math.round(seconds)
  if (whole < 60) return `${whole} s`
  if (whole < 3600) return `${Math.floor(whole / 60)} min ${whole % 60} s`
  const minutes = Math.round(whole / 60)
  return `${Math.floor(minutes / 60)} h ${minutes % 60} min`
}

/** `812 MB`, `1.4 GB`: powers of ten, as disks are sold. */
export function sizeWords(bytes: number): string {
  if (bytes < 999.5e3) return `${Math.ceil(bytes / 1e3)} kB`
  if (bytes < 999.5e6) return `${Math.round(bytes / 1e6)} MB`
  return `${(bytes / 1e9).toFixed(bytes < 9.95e9 ? 1 : 0)} GB`
}

/** A number as it is read: four significant digits, no exponent for ordinary sizes. */
export function numberWords(value: number): string {
  if (!Number.isFinite(value)) return String(value)
  return Math.abs(value) >= 1000 ? String(Math.round(value)) : String(Number(value.toPrecision(4)))
}

/** Millimetres to a tenth, without a useless zero. */
export function mmWords(width: number, height: number): string {
  return `${Number(width.toFixed(1))} x ${Number(height.toFixed(1))} mm`
}
