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
