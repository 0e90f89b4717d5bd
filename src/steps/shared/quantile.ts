/** The value below which a share of the values lie; NaN for none. */
export function quantile(values: ArrayLike<number>, share: number): number {
  if (values.length === 0) return Number.NaN
  const sorted = Float64Array.from(values).sort()
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))]
}
