import { BARE_WITHIN, exp2x4, log2x4, PAINTED_BEYOND } from './logExp'

// Log luminance and colour ratios, and the way back. All planes are float32.

/**
 * y = log2(Y + offset) and the log ratios of red to green and of blue to green, each channel with the offset and held at
 * 0 from below, less the share of y by which relief itself changes them; count is a multiple of 4.
 */
export function logPlanes(
  r: usize, g: usize, b: usize, y: usize, rg: usize, bg: usize, count: i32, wr: f32, wg: f32, wb: f32, offset: f32,
  tintRed: f32, tintBlue: f32,
): void {
  const vr = f32x4.splat(wr)
  const vg = f32x4.splat(wg)
  const vb = f32x4.splat(wb)
  const vo = f32x4.splat(offset)
  const zero = f32x4.splat(0)
  const end = <usize>count << 2
  for (let i: usize = 0; i < end; i += 16) {
    const red = v128.load(r + i)
    const green = v128.load(g + i)
    const blue = v128.load(b + i)
    const light = f32x4.add(f32x4.add(f32x4.mul(red, vr), f32x4.mul(green, vg)), f32x4.mul(blue, vb))
    const logLight = log2x4(f32x4.add(f32x4.max(light, zero), vo))
    v128.store(y + i, logLight)
    const logGreen = log2x4(f32x4.add(f32x4.max(green, zero), vo))
    const toRed = f32x4.sub(log2x4(f32x4.add(f32x4.max(red, zero), vo)), logGreen)
    const toBlue = f32x4.sub(log2x4(f32x4.add(f32x4.max(blue, zero), vo)), logGreen)
    v128.store(rg + i, f32x4.sub(toRed, f32x4.mul(f32x4.splat(tintRed), logLight)))
    v128.store(bg + i, f32x4.sub(toBlue, f32x4.mul(f32x4.splat(tintBlue), logLight)))
  }
}

/**
 * Gives a row its cleaned luminance and ratios, in place: log luminance moves by amount (clean - y), the ratios by amount
 * of what was steadied in them and by the relief's own tint. Where paint lies, all that is done only (1 - kept) as far.
 * @param paper three floats, log luminance and ratios of the bare sheet
 */
export function recolour(
  r: usize, g: usize, b: usize, y: usize, clean: usize, rg: usize, bg: usize, steadyRed: usize, steadyBlue: usize,
  count: i32, wr: f32, wg: f32, wb: f32, tintRed: f32, tintBlue: f32, amount: f32,
  kept: f32, paper: usize,
): void {
  const vr = f32x4.splat(wr)
  const vg = f32x4.splat(wg)
  const vb = f32x4.splat(wb)
  const paperLight = v128.load_splat<f32>(paper)
  const paperRed = v128.load_splat<f32>(paper, 4)
  const paperBlue = v128.load_splat<f32>(paper, 8)
  const zero = f32x4.splat(0)
  const one = f32x4.splat(1)
  const least = f32x4.splat(1e-6)
  const end = <usize>count << 2
  for (let i: usize = 0; i < end; i += 16) {
    const red = v128.load(r + i)
    const green = v128.load(g + i)
    const blue = v128.load(b + i)
    const apart = f32x4.max(
      f32x4.max(
        f32x4.abs(f32x4.sub(v128.load(steadyRed + i), paperRed)),
        f32x4.abs(f32x4.sub(v128.load(steadyBlue + i), paperBlue)),
      ),
      f32x4.sub(paperLight, v128.load(clean + i)),
    )
    const painted = f32x4.min(
      f32x4.max(f32x4.mul(f32x4.sub(apart, f32x4.splat(BARE_WITHIN)), f32x4.splat(1 / (PAINTED_BEYOND - BARE_WITHIN))), zero),
      one,
    )
    const va = f32x4.mul(f32x4.splat(amount), f32x4.sub(one, f32x4.mul(f32x4.splat(kept), painted)))
    const change = f32x4.mul(va, f32x4.sub(v128.load(clean + i), v128.load(y + i)))
    const toRed = f32x4.add(
      f32x4.mul(va, f32x4.sub(v128.load(steadyRed + i), v128.load(rg + i))),
      f32x4.mul(f32x4.splat(tintRed), change),
    )
    const toBlue = f32x4.add(
      f32x4.mul(va, f32x4.sub(v128.load(steadyBlue + i), v128.load(bg + i))),
      f32x4.mul(f32x4.splat(tintBlue), change),
    )
    const newRed = f32x4.mul(red, exp2x4(toRed))
    const newBlue = f32x4.mul(blue, exp2x4(toBlue))
    const before = f32x4.add(f32x4.add(f32x4.mul(red, vr), f32x4.mul(green, vg)), f32x4.mul(blue, vb))
    const after = f32x4.add(f32x4.add(f32x4.mul(newRed, vr), f32x4.mul(green, vg)), f32x4.mul(newBlue, vb))
    const factor = f32x4.mul(
      exp2x4(change),
      f32x4.div(f32x4.max(before, least), f32x4.max(after, least)),
    )
    v128.store(r + i, f32x4.mul(newRed, factor))
    v128.store(g + i, f32x4.mul(green, factor))
    v128.store(b + i, f32x4.mul(newBlue, factor))
  }
}
