// Resampling through a map without perspective that hardly turns, one axis after the other: eight taps along the picture's
// rows, then eight across them.

/** Phases of the tap table between two pixels; entry `PHASES` is the next pixel itself. */
const PHASES: f64 = 1024
/** Columns of the result at once, so that what lies between the two passes stays in the processor's cache. */
const STRIP = 32
/** Bytes of a row of it: three values and one spare, four bytes each. */
const ROW: usize = STRIP * 16

// @ts-ignore: decorator
@inline
function tapsAt(table: usize, position: f64, whole: f64): usize {
  return table + (<usize>(<i32>((position - whole) * PHASES + 0.5)) << 5)
}

/**
 * Fills `width` x `height` pixels whose first is the result's pixel (x0, y0). Pixel (X, Y) lies on row
 * v = m3 X + m4 Y + m5 of the picture. Where its column X meets the picture's row V, that row is read at a X + (b V + c);
 * the eight such values about v are then read at v. Positions are taken from X, Y and V alone, so that a pixel has the same
 * bits in whatever rectangle.
 * @param r, g, b planes of a patch of the picture read, `stride` bytes a row, whose first pixel is (patchX, patchY)
 * @param rows of the patch
 * @param table 8 weights a phase, for the pixels -3 .. +4 about the whole part of the position
 * @param map six float64: a, b, c, m3, m4, m5
 * @param work `rows` times `ROW` bytes
 * @param outR, outG, outB first pixel of the result; a column is `across` bytes from the next, a row `down`
 */
export function warpByAxes(
  r: usize, g: usize, b: usize, stride: usize, patchX: i32, patchY: i32, rows: i32, table: usize, map: usize, work: usize,
  x0: i32, y0: i32, width: i32, height: i32, outR: usize, outG: usize, outB: usize, across: usize, down: usize,
): void {
  const a = load<f64>(map)
  const bend = load<f64>(map + 8)
  const c = load<f64>(map + 16)
  const m3 = load<f64>(map + 24)
  const m4 = load<f64>(map + 32)
  const m5 = load<f64>(map + 40)
  for (let left = 0; left < width; left += STRIP) {
    const columns = min(STRIP, width - left)
    // The rows that this strip needs: v is least and most in its corners.
    const firstX = <f64>(x0 + left)
    const lastX = <f64>(x0 + left + columns - 1)
    const firstY = m4 * <f64>y0 + m5
    const lastY = m4 * <f64>(y0 + height - 1) + m5
    const least = Math.min(m3 * firstX, m3 * lastX) + Math.min(firstY, lastY)
    const most = Math.max(m3 * firstX, m3 * lastX) + Math.max(firstY, lastY)
    const top = max(0, <i32>Math.floor(least) - 3 - patchY)
    const bottom = min(rows, <i32>Math.floor(most) + 5 - patchY)
    for (let row = top; row < bottom; row++) {
      const offset = bend * <f64>(patchY + row) + c
      const from = <usize>row * stride
      let to = work + <usize>row * ROW
      for (let i = 0; i < columns; i++) {
        const u = a * <f64>(x0 + left + i) + offset
        const whole = Math.floor(u)
        const taps = tapsAt(table, u, whole)
        const at = from + (<usize>(<i32>whole - patchX - 3) << 2)
        const w0 = v128.load(taps)
        const w1 = v128.load(taps, 16)
        const red = f32x4.add(f32x4.mul(w0, v128.load(r + at)), f32x4.mul(w1, v128.load(r + at, 16)))
        const green = f32x4.add(f32x4.mul(w0, v128.load(g + at)), f32x4.mul(w1, v128.load(g + at, 16)))
        const blue = f32x4.add(f32x4.mul(w0, v128.load(b + at)), f32x4.mul(w1, v128.load(b + at, 16)))
        // Lanes 0 and 2, and 1 and 3, of each are added, then the two sums.
        const redGreen = f32x4.add(
          v128.shuffle<i32>(red, green, 0, 4, 1, 5),
          v128.shuffle<i32>(red, green, 2, 6, 3, 7),
        )
        const blueBlue = f32x4.add(blue, v128.shuffle<i32>(blue, blue, 2, 3, 0, 1))
        v128.store(
          to,
          f32x4.add(
            v128.shuffle<i32>(redGreen, blueBlue, 0, 1, 4, 4),
            v128.shuffle<i32>(redGreen, blueBlue, 2, 3, 5, 5),
          ),
        )
        to += 16
      }
    }
    for (let j = 0; j < height; j++) {
      const offset = m4 * <f64>(y0 + j) + m5
      let out = <usize>left * across + <usize>j * down
      for (let i = 0; i < columns; i++) {
        const v = m3 * <f64>(x0 + left + i) + offset
        const whole = Math.floor(v)
        const taps = tapsAt(table, v, whole)
        const at = work + <usize>(<i32>whole - patchY - 3) * ROW + (<usize>i << 4)
        const w0 = v128.load(taps)
        const w1 = v128.load(taps, 16)
        const even = f32x4.add(
          f32x4.add(
            f32x4.mul(v128.shuffle<i32>(w0, w0, 0, 0, 0, 0), v128.load(at)),
            f32x4.mul(v128.shuffle<i32>(w0, w0, 2, 2, 2, 2), v128.load(at, 2 * ROW)),
          ),
          f32x4.add(
            f32x4.mul(v128.shuffle<i32>(w1, w1, 0, 0, 0, 0), v128.load(at, 4 * ROW)),
            f32x4.mul(v128.shuffle<i32>(w1, w1, 2, 2, 2, 2), v128.load(at, 6 * ROW)),
          ),
        )
        const odd = f32x4.add(
          f32x4.add(
            f32x4.mul(v128.shuffle<i32>(w0, w0, 1, 1, 1, 1), v128.load(at, ROW)),
            f32x4.mul(v128.shuffle<i32>(w0, w0, 3, 3, 3, 3), v128.load(at, 3 * ROW)),
          ),
          f32x4.add(
            f32x4.mul(v128.shuffle<i32>(w1, w1, 1, 1, 1, 1), v128.load(at, 5 * ROW)),
            f32x4.mul(v128.shuffle<i32>(w1, w1, 3, 3, 3, 3), v128.load(at, 7 * ROW)),
          ),
        )
        const sum = f32x4.add(even, odd)
        store<f32>(outR + out, f32x4.extract_lane(sum, 0))
        store<f32>(outG + out, f32x4.extract_lane(sum, 1))
        store<f32>(outB + out, f32x4.extract_lane(sum, 2))
        out += across
      }
    }
  }
}
