/**
 * Adds blocks of `factor` columns of one row of float32 into float64 sums, one sum a block; a partial last block adds
 * what it has.
 */
export function addRowBlocks(row: usize, width: i32, factor: i32, sums: usize): void {
  let x = 0
  let block: usize = sums
  while (x < width) {
    const end = min(x + factor, width)
    let sum: f64 = 0
    for (; x < end; x++) sum += <f64>load<f32>(row + (<usize>x << 2))
    store<f64>(block, load<f64>(block) + sum)
    block += 8
  }
}

/**
 * Means over blocks of `factor` by `factor` values; partial last blocks are averaged over what they have. Each block's columns
 * are summed in float32, and the columns in float64.
 * @param plane `height` rows of `width` float32; three more may be read behind it
 * @param sums (width + 3) float32 to work with
 * @param out ceil(width / factor) by ceil(height / factor) float32
 */
export function reduceBlocks(
  plane: usize, width: i32, height: i32, factor: i32, sums: usize, out: usize,
): void {
  const row = <usize>width << 2
  for (let top = 0; top < height; top += factor) {
    const end = min(top + factor, height)
    for (let x: usize = 0; x < row; x += 16) {
      let sum = v128.load(plane + <usize>top * row + x)
      for (let y = top + 1; y < end; y++) sum = f32x4.add(sum, v128.load(plane + <usize>y * row + x))
      v128.store(sums + x, sum)
    }
    for (let left = 0; left < width; left += factor) {
      const right = min(left + factor, width)
      let sum: f64 = 0
      for (let x = left; x < right; x++) sum += <f64>load<f32>(sums + (<usize>x << 2))
      store<f32>(out, <f32>(sum / <f64>((right - left) * (end - top))))
      out += 4
    }
  }
}
