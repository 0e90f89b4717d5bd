// Between encoded codes and linear light. Four pixels at a time; look-ups lane by lane, as SIMD has none.

/** Sets of four light values to codes: matrix row, table look-up with straight lines between, ends held. */
// @ts-ignore: decorator
@inline
function codesOf(light: v128, table: usize, shift: i32, offset: i32, last: i32, least: f32): v128 {
  const index = i32x4.min_s(
    i32x4.max_s(i32x4.sub(i32x4.shr_s(light, shift), i32x4.splat(offset)), i32x4.splat(0)),
    i32x4.splat(last),
  )
  const mask = (1 << shift) - 1
  const part = f32x4.mul(
    f32x4.convert_i32x4_s(v128.and(light, i32x4.splat(mask))),
    f32x4.splat(<f32>1 / <f32>(1 << shift)),
  )
  // Each look-up takes the entry and the one above it in one load of 64 bits.
  let a = v128.load_zero<u64>(table + (<usize>i32x4.extract_lane(index, 0) << 2))
  let b = v128.load_zero<u64>(table + (<usize>i32x4.extract_lane(index, 2) << 2))
  a = v128.load_lane<u64>(table + (<usize>i32x4.extract_lane(index, 1) << 2), a, 1)
  b = v128.load_lane<u64>(table + (<usize>i32x4.extract_lane(index, 3) << 2), b, 1)
  const low = v128.shuffle<i32>(a, b, 0, 2, 4, 6)
  const high = v128.shuffle<i32>(a, b, 1, 3, 5, 7)
  const code = i32x4.trunc_sat_f32x4_s(f32x4.add(low, f32x4.mul(f32x4.sub(high, low), part)))
  const held = v128.and(code, f32x4.ge(light, f32x4.splat(least)))
  return v128.bitselect(i32x4.splat(65535), held, f32x4.ge(light, f32x4.splat(1)))
}

/**
 * Linear light to 16-bit codes, interleaved.
 * @param r planes of float32; `g` and `b` likewise
 * @param count pixels, a multiple of 4
 * @param matrix nine float32, to the target's linear RGB
 * @param table codes plus one half, float32, at equal steps inside each doubling of light
 * @param shift how far a float32's bits are shifted down to index the table
 * @param offset what is then taken off
 * @param last index of the last entry that has one above it
 * @param least light below which the code is 0
 * @param lowest light below which a sample counts as cut off, `highest` above which
 * @param out count * 3 uint16
 * @param clipped two int32 that are added to: samples cut off below and above
 */
export function encodePixels(
  r: usize, g: usize, b: usize, count: i32, matrix: usize,
  table: usize, shift: i32, offset: i32, last: i32, least: f32, lowest: f32, highest: f32,
  out: usize, clipped: usize,
): void {
  const m0 = v128.load_splat<f32>(matrix)
  const m1 = v128.load_splat<f32>(matrix, 4)
  const m2 = v128.load_splat<f32>(matrix, 8)
  const m3 = v128.load_splat<f32>(matrix, 12)
  const m4 = v128.load_splat<f32>(matrix, 16)
  const m5 = v128.load_splat<f32>(matrix, 20)
  const m6 = v128.load_splat<f32>(matrix, 24)
  const m7 = v128.load_splat<f32>(matrix, 28)
  const m8 = v128.load_splat<f32>(matrix, 32)
  const low = f32x4.splat(lowest)
  const high = f32x4.splat(highest)
  let unclippedLow = 0
  let clippedHigh = 0
  const end = <usize>count << 2
  let to = out
  for (let i: usize = 0; i < end; i += 16) {
    const x = v128.load(r + i)
    const y = v128.load(g + i)
    const z = v128.load(b + i)
    const red = f32x4.add(f32x4.add(f32x4.mul(m0, x), f32x4.mul(m1, y)), f32x4.mul(m2, z))
    const green = f32x4.add(f32x4.add(f32x4.mul(m3, x), f32x4.mul(m4, y)), f32x4.mul(m5, z))
    const blue = f32x4.add(f32x4.add(f32x4.mul(m6, x), f32x4.mul(m7, y)), f32x4.mul(m8, z))
    // What is no number is not at least `lowest`, and so counts as cut off below.
    unclippedLow +=
      popcnt(i32x4.bitmask(f32x4.ge(red, low))) +
      popcnt(i32x4.bitmask(f32x4.ge(green, low))) +
      popcnt(i32x4.bitmask(f32x4.ge(blue, low)))
    clippedHigh +=
      popcnt(i32x4.bitmask(f32x4.gt(red, high))) +
      popcnt(i32x4.bitmask(f32x4.gt(green, high))) +
      popcnt(i32x4.bitmask(f32x4.gt(blue, high)))
    const redGreen = i16x8.narrow_i32x4_u(
      codesOf(red, table, shift, offset, last, least),
      codesOf(green, table, shift, offset, last, least),
    )
    const codes = codesOf(blue, table, shift, offset, last, least)
    const blueBlue = i16x8.narrow_i32x4_u(codes, codes)
    v128.store(to, v128.shuffle<i16>(redGreen, blueBlue, 0, 4, 8, 1, 5, 9, 2, 6))
    v128.store_lane<u64>(to + 16, v128.shuffle<i16>(redGreen, blueBlue, 10, 3, 7, 11, 10, 3, 7, 11), 0)
    to += 24
  }
  store<i32>(clipped, load<i32>(clipped) + count * 3 - unclippedLow)
  store<i32>(clipped, load<i32>(clipped, 4) + clippedHigh, 4)
}

/**
 * Codes to linear light: a curve for each channel, then a matrix.
 * @param data count * 3 uint16, interleaved
 * @param count pixels, a multiple of 4
 * @param curveR 65,536 float32; `curveG` and `curveB` likewise, possibly the same
 * @param matrix nine float32
 * @param r planes of float32; `g` and `b` likewise
 */
export function decodePixels(
  data: usize, count: i32, curveR: usize, curveG: usize, curveB: usize, matrix: usize, r: usize, g: usize, b: usize,
): void {
  const m0 = v128.load_splat<f32>(matrix)
  const m1 = v128.load_splat<f32>(matrix, 4)
  const m2 = v128.load_splat<f32>(matrix, 8)
  const m3 = v128.load_splat<f32>(matrix, 12)
  const m4 = v128.load_splat<f32>(matrix, 16)
  const m5 = v128.load_splat<f32>(matrix, 20)
  const m6 = v128.load_splat<f32>(matrix, 24)
  const m7 = v128.load_splat<f32>(matrix, 28)
  const m8 = v128.load_splat<f32>(matrix, 32)
  const end = <usize>count << 2
  let from = data
  for (let i: usize = 0; i < end; i += 16) {
    let x = v128.load_zero<u32>(curveR + (<usize>load<u16>(from) << 2))
    let y = v128.load_zero<u32>(curveG + (<usize>load<u16>(from, 2) << 2))
    let z = v128.load_zero<u32>(curveB + (<usize>load<u16>(from, 4) << 2))
    x = v128.load_lane<u32>(curveR + (<usize>load<u16>(from, 6) << 2), x, 1)
    y = v128.load_lane<u32>(curveG + (<usize>load<u16>(from, 8) << 2), y, 1)
    z = v128.load_lane<u32>(curveB + (<usize>load<u16>(from, 10) << 2), z, 1)
    x = v128.load_lane<u32>(curveR + (<usize>load<u16>(from, 12) << 2), x, 2)
    y = v128.load_lane<u32>(curveG + (<usize>load<u16>(from, 14) << 2), y, 2)
    z = v128.load_lane<u32>(curveB + (<usize>load<u16>(from, 16) << 2), z, 2)
    x = v128.load_lane<u32>(curveR + (<usize>load<u16>(from, 18) << 2), x, 3)
    y = v128.load_lane<u32>(curveG + (<usize>load<u16>(from, 20) << 2), y, 3)
    z = v128.load_lane<u32>(curveB + (<usize>load<u16>(from, 22) << 2), z, 3)
    v128.store(r + i, f32x4.add(f32x4.add(f32x4.mul(m0, x), f32x4.mul(m1, y)), f32x4.mul(m2, z)))
    v128.store(g + i, f32x4.add(f32x4.add(f32x4.mul(m3, x), f32x4.mul(m4, y)), f32x4.mul(m5, z)))
    v128.store(b + i, f32x4.add(f32x4.add(f32x4.mul(m6, x), f32x4.mul(m7, y)), f32x4.mul(m8, z)))
    from += 24
  }
}

/** Cube root, sign kept; relative error below 1e-6. A third of the exponent as first guess, then Halley's iteration twice. */
// @ts-ignore: decorator
@inline
function rootOf(value: v128): v128 {
  const sign = v128.and(value, i32x4.splat(0x80000000))
  const size = v128.xor(value, sign)
  const guess = i32x4.trunc_sat_f32x4_s(
    f32x4.add(f32x4.mul(f32x4.convert_i32x4_s(size), f32x4.splat(<f32>(1.0 / 3.0))), f32x4.splat(709958130)),
  )
  const twice = f32x4.add(size, size)
  let root = guess
  for (let i = 0; i < 2; i++) {
    const cube = f32x4.mul(f32x4.mul(root, root), root)
    root = f32x4.mul(root, f32x4.div(f32x4.add(cube, twice), f32x4.add(f32x4.add(cube, cube), size)))
  }
  return v128.or(root, sign)
}

/**
 * Marks the pixels whose hue and chroma may lie in one of some windows; never leaves one out.
 * @param r planes of float32; `g` and `b` likewise
 * @param count pixels, a multiple of 4
 * @param matrices fifteen float32: to cone responses, three rows; from their roots to a and b, two rows
 * @param windows three float32 each: cosine and sine of the middle, cosine of the half width
 * @param windowCount how many
 * @param leastChroma chroma a pixel must exceed
 * @param marks one byte for four pixels, the first in the lowest bit
 */
export function markHues(
  r: usize, g: usize, b: usize, count: i32, matrices: usize, windows: usize, windowCount: i32, leastChroma: f32, marks: usize,
): void {
  // What float32 and the roots leave of doubt in a and b, well over.
  const doubt = f32x4.splat(<f32>2e-5)
  const chromaSquared = f32x4.splat(leastChroma * leastChroma * <f32>0.99)
  const end = <usize>count << 2
  for (let i: usize = 0; i < end; i += 16) {
    const x = v128.load(r + i)
    const y = v128.load(g + i)
    const z = v128.load(b + i)
    const l = rootOf(mixed(matrices, 0, x, y, z))
    const m = rootOf(mixed(matrices, 12, x, y, z))
    const s = rootOf(mixed(matrices, 24, x, y, z))
    const a = mixed(matrices, 36, l, m, s)
    const bb = mixed(matrices, 48, l, m, s)
    const square = f32x4.add(f32x4.mul(a, a), f32x4.mul(bb, bb))
    let mark = f32x4.splat(0)
    const coloured = f32x4.gt(square, chromaSquared)
    if (v128.any_true(coloured)) {
      const chroma = f32x4.sqrt(square)
      for (let w = 0; w < windowCount; w++) {
        const at = windows + <usize>(w * 12)
        const along = f32x4.add(
          f32x4.mul(a, v128.load_splat<f32>(at)),
          f32x4.mul(bb, v128.load_splat<f32>(at, 4)),
        )
        const edge = f32x4.mul(chroma, v128.load_splat<f32>(at, 8))
        mark = v128.or(mark, f32x4.gt(f32x4.add(along, doubt), edge))
      }
      mark = v128.and(mark, coloured)
    }
    store<u8>(marks + (i >> 4), <u8>i32x4.bitmask(mark))
  }
}

// @ts-ignore: decorator
@inline
function mixed(matrix: usize, row: usize, x: v128, y: v128, z: v128): v128 {
  return f32x4.add(
    f32x4.add(
      f32x4.mul(v128.load_splat<f32>(matrix + row), x),
      f32x4.mul(v128.load_splat<f32>(matrix + row, 4), y),
    ),
    f32x4.mul(v128.load_splat<f32>(matrix + row, 8), z),
  )
}

/**
 * Codes to linear light through a grid, interpolated inside one of the six tetrahedra about a cell's grey diagonal.
 * @param data count * 3 uint16, interleaved
 * @param count pixels
 * @param curveR 65,536 float32 to 0..1; `curveG` and `curveB` likewise, possibly the same
 * @param grid size^3 nodes of three float32, red slowest; four bytes behind the last are read and not used
 * @param size nodes a side
 * @param r planes of float32; `g` and `b` likewise
 */
export function decodeGridPixels(
  data: usize, count: i32, curveR: usize, curveG: usize, curveB: usize, grid: usize, size: i32, r: usize, g: usize, b: usize,
): void {
  const last = size - 1
  const span = <f32>last
  const stepR = size * size * 12
  const stepG = size * 12
  const stepB = 12
  const far = stepR + stepG + stepB
  const end = <usize>count << 2
  for (let i: usize = 0; i < end; i += 4) {
    const x = load<f32>(curveR + (<usize>load<u16>(data) << 2)) * span
    const y = load<f32>(curveG + (<usize>load<u16>(data, 2) << 2)) * span
    const z = load<f32>(curveB + (<usize>load<u16>(data, 4) << 2)) * span
    data += 6
    const x0 = min(<i32>x, last - 1)
    const y0 = min(<i32>y, last - 1)
    const z0 = min(<i32>z, last - 1)
    const fx = x - <f32>x0
    const fy = y - <f32>y0
    const fz = z - <f32>z0
    // The largest fraction's axis is walked first, the smallest's last. Chosen without branches: in a picture with grain
    // they could not be foreseen.
    const xy = fx >= fy
    const yz = fy >= fz
    const xz = fx >= fz
    const first = select(select(stepR, stepB, xz), select(stepG, stepB, yz), xy)
    const third = select(select(stepB, stepG, yz), select(stepB, stepR, xz), xy)
    const high = max(max(fx, fy), fz)
    const low = min(min(fx, fy), fz)
    const middle = max(min(fx, fy), min(max(fx, fy), fz))
    const near = grid + <usize>(x0 * stepR + y0 * stepG + z0 * stepB)
    const light = f32x4.add(
      f32x4.add(
        f32x4.mul(f32x4.splat(<f32>1 - high), v128.load(near)),
        f32x4.mul(f32x4.splat(high - middle), v128.load(near + first)),
      ),
      f32x4.add(
        f32x4.mul(f32x4.splat(middle - low), v128.load(near + (far - third))),
        f32x4.mul(f32x4.splat(low), v128.load(near + far)),
      ),
    )
    store<f32>(r + i, f32x4.extract_lane(light, 0))
    store<f32>(g + i, f32x4.extract_lane(light, 1))
    store<f32>(b + i, f32x4.extract_lane(light, 2))
  }
}
