// Products of many rows of numbers with many others: what descriptors are compared by.

/**
 * out[i * countB + j] = scale times the sum over k of a[i * length + k] * b[j * length + k].
 * @param a rows of `length` int16, a multiple of 8; `b` likewise
 * @param out float32
 */
export function allProducts(
  a: usize, countA: i32, b: usize, countB: i32, length: i32, scale: f32, out: usize,
): void {
  const bytes = <usize>length << 1
  const share = f32x4.splat(scale)
  const fours = countB & ~3
  for (let i = 0; i < countA; i++) {
    const from = a + <usize>i * bytes
    let to = b
    for (let j = 0; j < fours; j += 4) {
      let first = i32x4.splat(0)
      let second = i32x4.splat(0)
      let third = i32x4.splat(0)
      let fourth = i32x4.splat(0)
      for (let k: usize = 0; k < bytes; k += 16) {
        const own = v128.load(from + k)
        const at = to + k
        first = i32x4.add(first, i32x4.dot_i16x8_s(own, v128.load(at)))
        second = i32x4.add(second, i32x4.dot_i16x8_s(own, v128.load(at + bytes)))
        third = i32x4.add(third, i32x4.dot_i16x8_s(own, v128.load(at + 2 * bytes)))
        fourth = i32x4.add(fourth, i32x4.dot_i16x8_s(own, v128.load(at + 3 * bytes)))
      }
      // Four sums of four lanes each.
      const low = i32x4.add(
        v128.shuffle<i32>(first, second, 0, 4, 1, 5),
        v128.shuffle<i32>(first, second, 2, 6, 3, 7),
      )
      const high = i32x4.add(
        v128.shuffle<i32>(third, fourth, 0, 4, 1, 5),
        v128.shuffle<i32>(third, fourth, 2, 6, 3, 7),
      )
      const all = i32x4.add(
        v128.shuffle<i32>(low, high, 0, 1, 4, 5),
        v128.shuffle<i32>(low, high, 2, 3, 6, 7),
      )
      v128.store(out, f32x4.mul(f32x4.convert_i32x4_s(all), share))
      out += 16
      to += 4 * bytes
    }
    for (let j = fours; j < countB; j++) {
      let sum = i32x4.splat(0)
      for (let k: usize = 0; k < bytes; k += 16) {
        sum = i32x4.add(sum, i32x4.dot_i16x8_s(v128.load(from + k), v128.load(to + k)))
      }
      store<f32>(
        out,
        <f32>(
          i32x4.extract_lane(sum, 0) + i32x4.extract_lane(sum, 1) +
          (i32x4.extract_lane(sum, 2) + i32x4.extract_lane(sum, 3))
        ) * scale,
      )
      out += 4
      to += bytes
    }
  }
}
