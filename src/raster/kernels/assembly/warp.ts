// Resampling through a plane projective map, eight taps each way.

/** Phases of the tap table between two pixels; entry `PHASES` is the next pixel itself. */
const PHASES: f64 = 1024

// @ts-ignore: decorator
@inline
function addLanes(v: v128): f32 {
  return (
    f32x4.extract_lane(v, 0) + f32x4.extract_lane(v, 1) + (f32x4.extract_lane(v, 2) + f32x4.extract_lane(v, 3))
  )
}

/**
 * Fills `width` x `height` pixels whose first is the result's pixel (x0, y0). Pixel (X, Y) is read at
 * u = (m0 X + m1 Y + m2) / (m6 X + m7 Y + 1), v = (m3 X + m4 Y + m5) / (the same).
 * and, where a lens is given, moved away from its centre by 1 + k1 r^2 + k2 r^4, r^2 held beyond a limit.
 * Positions are taken from X and Y alone, so that a pixel has the same bits in whatever rectangle.
 * @param r, g, b planes of a patch of the picture read, `stride` bytes a row, whose first pixel is (patchX, patchY)
 * @param table 8 weights a phase, for the pixels -3 .. +4 about the whole part of the position
 * @param map eight float64, m0 .. m7, then six of the lens: centre x and y, 1 / unit^2, k1, k2, the limit of r^2
 * @param bent whether there is a lens
 */
export function warpPatch(
  r: usize, g: usize, b: usize, stride: usize, patchX: i32, patchY: i32, table: usize, map: usize,
  bent: bool, x0: i32, y0: i32, width: i32, height: i32, outR: usize, outG: usize, outB: usize,
): void {
  const m0 = load<f64>(map)
  const m1 = load<f64>(map + 8)
  const m2 = load<f64>(map + 16)
  const m3 = load<f64>(map + 24)
  const m4 = load<f64>(map + 32)
  const m5 = load<f64>(map + 40)
  const m6 = load<f64>(map + 48)
  const m7 = load<f64>(map + 56)
  const flat = m6 == 0 && m7 == 0
  const lensX = load<f64>(map + 64)
  const lensY = load<f64>(map + 72)
  const perUnit = load<f64>(map + 80)
  const k1 = load<f64>(map + 88)
  const k2 = load<f64>(map + 96)
  const most = load<f64>(map + 104)
  let out: usize = 0
  for (let j = 0; j < height; j++) {
    const y = <f64>(y0 + j)
    for (let i = 0; i < width; i++) {
      const x = <f64>(x0 + i)
      let u = m0 * x + m1 * y + m2
      let v = m3 * x + m4 * y + m5
      if (!flat) {
        const w = m6 * x + m7 * y + 1
        u /= w
        v /= w
      }
      if (bent) {
        const dx = u - lensX
        const dy = v - lensY
        const r2 = Math.min((dx * dx + dy * dy) * perUnit, most)
        const factor = 1 + r2 * (k1 + k2 * r2)
        u = lensX + dx * factor
        v = lensY + dy * factor
      }
      const wholeU = Math.floor(u)
      const wholeV = Math.floor(v)
      const tapsU = table + (<usize>(<i32>((u - wholeU) * PHASES + 0.5)) << 5)
      const tapsV = table + (<usize>(<i32>((v - wholeV) * PHASES + 0.5)) << 5)
      let at: usize = <usize>(<i32>wholeV - patchY - 3) * stride + (<usize>(<i32>wholeU - patchX - 3) << 2)
      let r0 = f32x4.splat(0)
      let r1 = f32x4.splat(0)
      let g0 = f32x4.splat(0)
      let g1 = f32x4.splat(0)
      let b0 = f32x4.splat(0)
      let b1 = f32x4.splat(0)
      for (let k: usize = 0; k < 32; k += 4) {
        const w = v128.load_splat<f32>(tapsV + k)
        r0 = f32x4.add(r0, f32x4.mul(w, v128.load(r + at)))
        r1 = f32x4.add(r1, f32x4.mul(w, v128.load(r + at, 16)))
        g0 = f32x4.add(g0, f32x4.mul(w, v128.load(g + at)))
        g1 = f32x4.add(g1, f32x4.mul(w, v128.load(g + at, 16)))
        b0 = f32x4.add(b0, f32x4.mul(w, v128.load(b + at)))
        b1 = f32x4.add(b1, f32x4.mul(w, v128.load(b + at, 16)))
        at += stride
      }
      const w0 = v128.load(tapsU)
      const w1 = v128.load(tapsU, 16)
      store<f32>(outR + out, addLanes(f32x4.add(f32x4.mul(w0, r0), f32x4.mul(w1, r1))))
      store<f32>(outG + out, addLanes(f32x4.add(f32x4.mul(w0, g0), f32x4.mul(w1, g1))))
      store<f32>(outB + out, addLanes(f32x4.add(f32x4.mul(w0, b0), f32x4.mul(w1, b1))))
      out += 4
    }
  }
}
