// Unpainted paper to white: each row is scaled by the paper's tone, then lifted where it and its neighbourhood are paper.

/**
 * Multiplies count values by a + b u + c u^2, u = (x + i) scale. Columns are counted from the picture's edge so that a
 * pixel's factor does not depend on the tile. May write up to three values behind the end.
 */
export function scaleRow(row: usize, count: i32, x: i32, scale: f32, a: f32, b: f32, c: f32): void {
  const va = f32x4.splat(a)
  const vb = f32x4.splat(b)
  const vc = f32x4.splat(c)
  const vs = f32x4.splat(scale)
  let column = i32x4.add(i32x4.splat(x), i32x4(0, 1, 2, 3))
  const four = i32x4.splat(4)
  const end = <usize>count << 2
  for (let i: usize = 0; i < end; i += 16) {
    const u = f32x4.mul(f32x4.convert_i32x4_s(column), vs)
    const factor = f32x4.add(va, f32x4.mul(u, f32x4.add(vb, f32x4.mul(u, vc))))
    v128.store(row + i, f32x4.mul(v128.load(row + i), factor))
    column = i32x4.add(column, four)
  }
}

// @ts-ignore: decorator
@inline
function sumDown(from: usize, rowBytes: usize): v128 {
  return f32x4.add(
    f32x4.add(
      f32x4.add(v128.load(from), v128.load(from + rowBytes)),
      f32x4.add(v128.load(from + 3 * rowBytes), v128.load(from + 4 * rowBytes)),
    ),
    v128.load(from + 2 * rowBytes),
  )
}

// @ts-ignore: decorator
@inline
function meanAcross(sums: usize): v128 {
  const sum = f32x4.add(
    f32x4.add(f32x4.add(v128.load(sums), v128.load(sums, 4)), f32x4.add(v128.load(sums, 12), v128.load(sums, 16))),
    v128.load(sums, 8),
  )
  return f32x4.mul(sum, f32x4.splat(<f32>(1.0 / 25)))
}

/** Distance from white, squared: darkness and colour, each in its own unit. */
// @ts-ignore: decorator
@inline
function distance2(r: v128, g: v128, b: v128, perLight: v128, perChroma: v128): v128 {
  const one = f32x4.splat(1)
  const zero = f32x4.splat(0)
  const light = f32x4.add(
    f32x4.mul(f32x4.splat(<f32>0.2880402), r),
    f32x4.add(f32x4.mul(f32x4.splat(<f32>0.7118741), g), f32x4.mul(f32x4.splat(<f32>0.0000857), b)),
  )
  const dark = f32x4.mul(perLight, f32x4.max(f32x4.sub(one, light), zero))
  const rg = f32x4.mul(perChroma, f32x4.sub(r, g))
  const bg = f32x4.mul(perChroma, f32x4.sub(b, g))
  return f32x4.add(f32x4.mul(dark, dark), f32x4.add(f32x4.mul(rg, rg), f32x4.mul(bg, bg)))
}

/** 1 up to distance 1, 0 from `reach` on, smooth between (3 t^2 - 2 t^3). */
// @ts-ignore: decorator
@inline
function share(distanceSquared: v128, reach: f32): v128 {
  const one = f32x4.splat(1)
  const t = f32x4.mul(
    f32x4.sub(f32x4.splat(reach), f32x4.sqrt(distanceSquared)),
    f32x4.splat(1 / (reach - 1)),
  )
  const held = f32x4.max(f32x4.min(t, one), f32x4.splat(0))
  return f32x4.mul(f32x4.mul(held, held), f32x4.sub(f32x4.splat(3), f32x4.add(held, held)))
}

// @ts-ignore: decorator
@inline
function lifted(value: v128, by: v128): v128 {
  return f32x4.add(value, f32x4.mul(by, f32x4.sub(f32x4.splat(1), value)))
}

/**
 * One row lifted towards white. `r`, `g`, `b` point to the row two above, two columns to the left; rows are `rowBytes`
 * apart. `sums` holds three rows of count + 8 floats. `near` belongs to the mean over 5 x 5 pixels, `own` to the pixel.
 */
export function liftRow(
  r: usize, g: usize, b: usize, rowBytes: usize, sums: usize, outR: usize, outG: usize, outB: usize, count: i32,
  nearLight: f32, nearChroma: f32, nearReach: f32, ownLight: f32, ownChroma: f32, ownReach: f32,
): void {
  const sumBytes = (<usize>count + 8) << 2
  const wide = (<usize>count + 4) << 2
  for (let i: usize = 0; i < wide; i += 16) {
    v128.store(sums + i, sumDown(r + i, rowBytes))
    v128.store(sums + sumBytes + i, sumDown(g + i, rowBytes))
    v128.store(sums + 2 * sumBytes + i, sumDown(b + i, rowBytes))
  }
  const vNearLight = f32x4.splat(nearLight)
  const vNearChroma = f32x4.splat(nearChroma)
  const vOwnLight = f32x4.splat(ownLight)
  const vOwnChroma = f32x4.splat(ownChroma)
  const middle: usize = rowBytes + rowBytes + 8
  const end = <usize>count << 2
  for (let i: usize = 0; i < end; i += 16) {
    const s = sums + i
    const near = distance2(
      meanAcross(s), meanAcross(s + sumBytes), meanAcross(s + 2 * sumBytes), vNearLight, vNearChroma,
    )
    const vr = v128.load(r + middle + i)
    const vg = v128.load(g + middle + i)
    const vb = v128.load(b + middle + i)
    const own = distance2(vr, vg, vb, vOwnLight, vOwnChroma)
    const by = f32x4.mul(share(near, nearReach), share(own, ownReach))
    v128.store(outR + i, lifted(vr, by))
    v128.store(outG + i, lifted(vg, by))
    v128.store(outB + i, lifted(vb, by))
  }
}
