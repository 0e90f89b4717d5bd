// Products of many rows of numbers with many others: what descriptors are compared by.

/**
 * out[i * countB + j] = sum over k of a[i * length + k] * b[j * length + k], four sums side by side.
 * @param length a multiple of 4
 */
export function allProducts(a: usize, countA: i32, b: usize, countB: i32, length: i32, out: usize): void {
  const bytes = <usize>length << 2
  for (let i = 0; i < countA; i++) {
    const from = a + <usize>i * bytes
    for (let j = 0; j < countB; j++) {
      const to = b + <usize>j * bytes
      let sum = f32x4.splat(0)
      for (let k: usize = 0; k < bytes; k += 16) {
        sum = f32x4.add(sum, f32x4.mul(v128.load(from + k), v128.load(to + k)))
      }
      store<f32>(
        out,
        f32x4.extract_lane(sum, 0) + f32x4.extract_lane(sum, 1) + (f32x4.extract_lane(sum, 2) + f32x4.extract_lane(sum, 3)),
      )
      out += 4
    }
  }
}
