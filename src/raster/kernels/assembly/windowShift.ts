// A window of one capture against another's, moved by parts of a pixel.

/**
 * Reads a square plane a little beside: eight taps along rows, then down columns, the same for every pixel.
 * @param from, to planes of `stride` float32 a row; `work` has room for one
 * @param first, last rows and columns of the result, first included, last not
 * @param x, y whole pixels of the shift; tapsX and tapsY are the weights of the pixels -3 .. +4 about it
 */
export function shiftPlane(
  from: usize, to: usize, work: usize, stride: i32, first: i32, last: i32, x: i32, y: i32, tapsX: usize, tapsY: usize,
): void {
  const row = <usize>stride << 2
  for (let j = first + y - 3; j < last + y + 4; j++) {
    const line = from + <usize>j * row + (<usize>(x - 3) << 2)
    const out = work + <usize>j * row
    for (let i = <usize>first << 2; i < <usize>last << 2; i += 16) {
      let sum = f32x4.mul(v128.load_splat<f32>(tapsX), v128.load(line + i))
      for (let k: usize = 4; k < 32; k += 4) {
        sum = f32x4.add(sum, f32x4.mul(v128.load_splat<f32>(tapsX + k), v128.load(line + i + k)))
      }
      v128.store(out + i, sum)
    }
  }
  for (let j = first; j < last; j++) {
    const line = work + <usize>(j + y - 3) * row
    const out = to + <usize>j * row
    for (let i = <usize>first << 2; i < <usize>last << 2; i += 16) {
      let sum = f32x4.mul(v128.load_splat<f32>(tapsY), v128.load(line + i))
      let at = line + i
      for (let k: usize = 4; k < 32; k += 4) {
        at += row
        sum = f32x4.add(sum, f32x4.mul(v128.load_splat<f32>(tapsY + k), v128.load(at)))
      }
      v128.store(out + i, sum)
    }
  }
}

/**
 * Sums over the inside of two square planes. Slopes are the mean of both planes'; difference is b - a.
 * @param first, last rows and columns, first included, last not
 * @param sums nine float64: slopes xx, xy, yy; slopes times difference x, y; difference squared; a b; a a; b b
 */
export function compareWindows(a: usize, b: usize, stride: i32, first: i32, last: i32, sums: usize): void {
  const row = <usize>stride << 2
  memory.fill(sums, 0, 72)
  const quarter = f32x4.splat(0.25)
  for (let j = first; j < last; j++) {
    let xx = f32x4.splat(0)
    let xy = f32x4.splat(0)
    let yy = f32x4.splat(0)
    let rx = f32x4.splat(0)
    let ry = f32x4.splat(0)
    let rr = f32x4.splat(0)
    let ab = f32x4.splat(0)
    let aa = f32x4.splat(0)
    let bb = f32x4.splat(0)
    for (let i = first; i < last; i += 4) {
      const at = <usize>j * row + (<usize>i << 2)
      const p = a + at
      const q = b + at
      // What lies behind the last column counts nothing.
      const counts = i32x4.lt_s(i32x4.add(i32x4.splat(i), i32x4(0, 1, 2, 3)), i32x4.splat(last))
      const pa = v128.and(v128.load(p), counts)
      const qb = v128.and(v128.load(q), counts)
      const difference = f32x4.sub(qb, pa)
      const gx = v128.and(
        f32x4.mul(
          f32x4.add(
            f32x4.sub(v128.load(p + 4), v128.load(p - 4)),
            f32x4.sub(v128.load(q + 4), v128.load(q - 4)),
          ),
          quarter,
        ),
        counts,
      )
      const gy = v128.and(
        f32x4.mul(
          f32x4.add(
            f32x4.sub(v128.load(p + row), v128.load(p - row)),
            f32x4.sub(v128.load(q + row), v128.load(q - row)),
          ),
          quarter,
        ),
        counts,
      )
      xx = f32x4.add(xx, f32x4.mul(gx, gx))
      xy = f32x4.add(xy, f32x4.mul(gx, gy))
      yy = f32x4.add(yy, f32x4.mul(gy, gy))
      rx = f32x4.add(rx, f32x4.mul(gx, difference))
      ry = f32x4.add(ry, f32x4.mul(gy, difference))
      rr = f32x4.add(rr, f32x4.mul(difference, difference))
      ab = f32x4.add(ab, f32x4.mul(pa, qb))
      aa = f32x4.add(aa, f32x4.mul(pa, pa))
      bb = f32x4.add(bb, f32x4.mul(qb, qb))
    }
    addTo(sums, xx)
    addTo(sums + 8, xy)
    addTo(sums + 16, yy)
    addTo(sums + 24, rx)
    addTo(sums + 32, ry)
    addTo(sums + 40, rr)
    addTo(sums + 48, ab)
    addTo(sums + 56, aa)
    addTo(sums + 64, bb)
  }
}

// @ts-ignore: decorator
@inline
function addTo(at: usize, lanes: v128): void {
  store<f64>(
    at,
    load<f64>(at) +
      (<f64>f32x4.extract_lane(lanes, 0) + <f64>f32x4.extract_lane(lanes, 1)) +
      (<f64>f32x4.extract_lane(lanes, 2) + <f64>f32x4.extract_lane(lanes, 3)),
  )
}
