/** The middle value; of an even number the upper of the two. */
export function median(values: readonly number[]): number {
  const sorted = Float64Array.from(values).sort()
  return sorted[sorted.length >> 1]
}
