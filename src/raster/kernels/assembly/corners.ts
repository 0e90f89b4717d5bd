// How much structure changes in every direction.

// @ts-ignore: decorator
@inline
function fiveAcross(at: usize): v128 {
  return f32x4.add(
    f32x4.add(f32x4.add(v128.load(at - 8), v128.load(at - 4)), v128.load(at)),
    f32x4.add(v128.load(at, 4), v128.load(at, 8)),
  )
}

// @ts-ignore: decorator
@inline
function fiveDown(at: usize, row: usize): v128 {
  return f32x4.add(
    f32x4.add(f32x4.add(v128.load(at - 2 * row), v128.load(at - row)), v128.load(at)),
    f32x4.add(v128.load(at + row), v128.load(at + 2 * row)),
  )
}

/**
 * Determinant over trace of the structure tensor of three planes, summed over squares of five pixels: 0 along an edge or where
 * nothing is. What lies within three pixels of the border is not to be used.
 * @param a planes of `height` rows of `stride` float32, a multiple of 4; `b` and `c` likewise
 * @param work six planes to work with, four values of room before and behind them
 * @param out a plane
 */
export function cornerStrength(
  a: usize, b: usize, c: usize, stride: i32, height: i32, work: usize, out: usize,
): void {
  const row = <usize>stride << 2
  const plane = row * <usize>height
  const xx = work
  const xy = work + plane
  const yy = work + 2 * plane
  const sums = work + 3 * plane
  for (let y = 1; y < height - 1; y++) {
    const line = <usize>y * row
    for (let at = line; at < line + row; at += 16) {
      let sumXx = f32x4.splat(0)
      let sumXy = f32x4.splat(0)
      let sumYy = f32x4.splat(0)
      for (let k = 0; k < 3; k++) {
        const p = select(a, select(b, c, k == 1), k == 0) + at
        const gx = f32x4.sub(v128.load(p, 4), v128.load(p - 4))
        const gy = f32x4.sub(v128.load(p + row), v128.load(p - row))
        sumXx = f32x4.add(sumXx, f32x4.mul(gx, gx))
        sumXy = f32x4.add(sumXy, f32x4.mul(gx, gy))
        sumYy = f32x4.add(sumYy, f32x4.mul(gy, gy))
      }
      v128.store(xx + at, sumXx)
      v128.store(xy + at, sumXy)
      v128.store(yy + at, sumYy)
    }
  }
  for (let k: usize = 0; k < 3; k++) {
    const from = work + k * plane
    for (let at = row; at < plane - row; at += 16) v128.store(sums + k * plane + at, fiveAcross(from + at))
  }
  const least = f32x4.splat(<f32>1e-12)
  for (let at: usize = 3 * row; at < plane - 3 * row; at += 16) {
    const x = fiveDown(sums + at, row)
    const xAndY = fiveDown(sums + plane + at, row)
    const y = fiveDown(sums + 2 * plane + at, row)
    v128.store(
      out + at,
      f32x4.div(
        f32x4.sub(f32x4.mul(x, y), f32x4.mul(xAndY, xAndY)),
        f32x4.add(f32x4.add(x, y), least),
      ),
    )
  }
}
