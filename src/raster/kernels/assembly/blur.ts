// Running means and what is made of them. Rows are a multiple of four values long; what pads them is carried along unused.

import { log2x4 } from './logExp'

/** Rows to each side up to which a mean is summed anew. */
const FEW = 2
/** Rows after which running sums in float32 are taken anew; a power of two. */
const ANEW = 8

/**
 * Means down every column over `2 radius + 1` rows, over what the picture holds of them at its borders. Running sums are taken
 * anew every few rows, so that they do not drift down a tall picture.
 * @param from, to planes of `width` (a multiple of 4) by `height` float32
 * @param sums `width` float32 to work with
 */
export function meanColumns(
  from: usize, to: usize, width: i32, height: i32, radius: i32, sums: usize,
): void {
  const row = <usize>width << 2
  for (let y = 0; y < height; y++) {
    const first = max(0, y - radius)
    const last = min(height - 1, y + radius)
    const share = f32x4.splat(<f32>1 / <f32>(last - first + 1))
    const out = to + <usize>y * row
    if (radius <= FEW || (y & (ANEW - 1)) == 0) {
      const line = from + <usize>first * row
      const end = from + <usize>last * row
      for (let x: usize = 0; x < row; x += 16) {
        let sum = v128.load(line + x)
        for (let at = line + row; at <= end; at += row) sum = f32x4.add(sum, v128.load(at + x))
        v128.store(sums + x, sum)
        v128.store(out + x, f32x4.mul(sum, share))
      }
      continue
    }
    const comes = y + radius < height
    const goes = y - radius - 1 >= 0
    const ahead = from + <usize>(y + radius) * row
    const behind = from + <usize>(y - radius - 1) * row
    for (let x: usize = 0; x < row; x += 16) {
      let sum = v128.load(sums + x)
      if (comes) sum = f32x4.add(sum, v128.load(ahead + x))
      if (goes) sum = f32x4.sub(sum, v128.load(behind + x))
      v128.store(sums + x, sum)
      v128.store(out + x, f32x4.mul(sum, share))
    }
  }
}

/** Columns become rows: `to` has `height` values a row. Both are multiples of 4. */
export function transposePlane(from: usize, to: usize, width: i32, height: i32): void {
  const row = <usize>width << 2
  const column = <usize>height << 2
  for (let y = 0; y < height; y += 4) {
    for (let x = 0; x < width; x += 4) {
      const at = from + <usize>y * row + (<usize>x << 2)
      const a = v128.load(at)
      const b = v128.load(at + row)
      const c = v128.load(at + 2 * row)
      const d = v128.load(at + 3 * row)
      const ab = v128.shuffle<i32>(a, b, 0, 4, 1, 5)
      const cd = v128.shuffle<i32>(c, d, 0, 4, 1, 5)
      const abUp = v128.shuffle<i32>(a, b, 2, 6, 3, 7)
      const cdUp = v128.shuffle<i32>(c, d, 2, 6, 3, 7)
      const out = to + <usize>x * column + (<usize>y << 2)
      v128.store(out, v128.shuffle<i32>(ab, cd, 0, 1, 4, 5))
      v128.store(out + column, v128.shuffle<i32>(ab, cd, 2, 3, 6, 7))
      v128.store(out + 2 * column, v128.shuffle<i32>(abUp, cdUp, 0, 1, 4, 5))
      v128.store(out + 3 * column, v128.shuffle<i32>(abUp, cdUp, 2, 3, 6, 7))
    }
  }
}

/** a - b into a. */
export function subtractPlane(a: usize, b: usize, count: i32): void {
  const end = <usize>count << 2
  for (let i: usize = 0; i < end; i += 16) v128.store(a + i, f32x4.sub(v128.load(a + i), v128.load(b + i)))
}

/**
 * Linear planes to logarithms, in place: red becomes log luminance, green log red / green, blue log blue / green. Light
 * below `floor` counts as that much.
 * @param count a multiple of 4
 * @param wr, wg, wb shares of the channels' logarithms in luminance
 */
export function logStructure(
  r: usize, g: usize, b: usize, count: i32, floor: f32, wr: f32, wg: f32, wb: f32,
): void {
  const least = f32x4.splat(floor)
  const toNatural = f32x4.splat(<f32>0.6931471805599453)
  const end = <usize>count << 2
  for (let i: usize = 0; i < end; i += 16) {
    const red = f32x4.mul(log2x4(f32x4.max(v128.load(r + i), least)), toNatural)
    const green = f32x4.mul(log2x4(f32x4.max(v128.load(g + i), least)), toNatural)
    const blue = f32x4.mul(log2x4(f32x4.max(v128.load(b + i), least)), toNatural)
    const luminance = f32x4.add(
      f32x4.add(f32x4.mul(f32x4.splat(wr), red), f32x4.mul(f32x4.splat(wg), green)),
      f32x4.mul(f32x4.splat(wb), blue),
    )
    v128.store(r + i, luminance)
    v128.store(g + i, f32x4.sub(red, green))
    v128.store(b + i, f32x4.sub(blue, green))
  }
}
