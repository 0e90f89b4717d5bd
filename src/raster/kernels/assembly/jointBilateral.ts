// The joint bilateral mean, and the planes made of it. All planes are float32.

/**
 * Mean of the neighbours' values, each counted by how near it lies and how like it is in three guides:
 * near(dx, dy) * max(0, 1 - d)^8 with d = perRatio (da^2 + db^2) + perLight dc^2, which is exp(-8 d) but for its tail.
 * @param a, b, c guides; like `values` they reach `reach` pixels beyond the result on all sides
 * @param near weights of the offsets, row by row: -reach..reach down, `every` apart; across twice as far apart, beginning
 *   at -reach in even rows and `every` later in odd ones. `reach` is an even multiple of `every`
 * @param width of the result, a multiple of 4
 */
export function jointBilateral(
  a: usize, b: usize, c: usize, values: usize, fromBytes: usize, near: usize, reach: i32, every: i32,
  perRatio: f32, perLight: f32, out: usize, toBytes: usize, width: i32, height: i32,
): void {
  const one = f32x4.splat(1)
  const zero = f32x4.splat(0)
  const vRatio = f32x4.splat(perRatio)
  const vLight = f32x4.splat(perLight)
  const bytes = <usize>width << 2
  for (let y = 0; y < height; y++) {
    const row = <usize>y * fromBytes
    const target = out + <usize>y * toBytes
    for (let x: usize = 0; x < bytes; x += 16) {
      const at = row + x
      const ownA = v128.load(a + at)
      const ownB = v128.load(b + at)
      const ownC = v128.load(c + at)
      let sum = zero
      let all = zero
      let weight = near
      for (let dy = -reach; dy <= reach; dy += every) {
        const first = at + <usize>(<isize>dy * <isize>fromBytes)
        // Every other row is shifted, as the black squares of a chessboard.
        const shift = ((dy + reach) / every) % 2 == 0 ? 0 : every
        for (let dx = shift - reach; dx <= reach; dx += 2 * every) {
          const from = first + <usize>(<isize>dx << 2)
          const da = f32x4.sub(v128.load(a + from), ownA)
          const db = f32x4.sub(v128.load(b + from), ownB)
          const dc = f32x4.sub(v128.load(c + from), ownC)
          const ratios = f32x4.mul(vRatio, f32x4.add(f32x4.mul(da, da), f32x4.mul(db, db)))
          const apart = f32x4.add(ratios, f32x4.mul(vLight, f32x4.mul(dc, dc)))
          const like = f32x4.max(f32x4.sub(one, apart), zero)
          const like2 = f32x4.mul(like, like)
          const like4 = f32x4.mul(like2, like2)
          const w = f32x4.mul(v128.load_splat<f32>(weight), f32x4.mul(like4, like4))
          weight += 4
          sum = f32x4.add(sum, f32x4.mul(w, v128.load(values + from)))
          all = f32x4.add(all, w)
        }
      }
      v128.store(target + x, f32x4.div(sum, all))
    }
  }
}

/**
 * Sets a row's common part aside: from log luminance, and from the pilot, whose rest moves `share` of the way to it.
 * count is a multiple of 4.
 */
export function setAside(
  y: usize, pilot: usize, rest: usize, common: usize, share: f32, out: usize, count: i32,
): void {
  const vs = f32x4.splat(share)
  const end = <usize>count << 2
  for (let i: usize = 0; i < end; i += 16) {
    const part = v128.load(common + i)
    v128.store(out + i, f32x4.sub(v128.load(y + i), part))
    const moved = f32x4.mul(vs, f32x4.sub(v128.load(rest + i), part))
    v128.store(pilot + i, f32x4.sub(f32x4.sub(v128.load(pilot + i), part), moved))
  }
}

/** Adds a row to another; count is a multiple of 4. */
export function addRow(from: usize, to: usize, count: i32): void {
  const end = <usize>count << 2
  for (let i: usize = 0; i < end; i += 16) {
    v128.store(to + i, f32x4.add(v128.load(to + i), v128.load(from + i)))
  }
}
