/**
 * The median of every block of `size` x `size` values; a partial last block takes what it has.
 * Dust smaller than half a block leaves no trace.
 */
export function blockMedians(
  plane: Float32Array,
  width: number,
  height: number,
  size: number,
): { values: Float64Array; width: number; height: number } {
  const outWidth = Math.ceil(width / size)
  const outHeight = Math.ceil(height / size)
  const values = new Float64Array(outWidth * outHeight)
  const block = new Float64Array(size * size)
  for (let by = 0; by < outHeight; by++) {
    for (let bx = 0; bx < outWidth; bx++) {
      let n = 0
      for (let y = by * size; y < Math.min(height, (by + 1) * size); y++) {
        for (let x = bx * size; x < Math.min(width, (bx + 1) * size); x++) block[n++] = plane[y * width + x]
      }
      const sorted = block.subarray(0, n).sort()
      values[by * outWidth + bx] = (sorted[(n - 1) >> 1] + sorted[n >> 1]) / 2
    }
  }
  return { values, width: outWidth, height: outHeight }
}
