// Windows of a plane in and out, and their spectra. A window of n x n floats lies in rows of n + 4.

/** Copies a window without its weighted mean, times the window in both directions. Returns the mean. */
export function loadWindow(from: usize, fromBytes: usize, weights: usize, out: usize, n: usize, rowBytes: usize): f32 {
  const end = n << 2
  let sum = f32x4.splat(0)
  let all = f32x4.splat(0)
  for (let r: usize = 0; r < n; r++) {
    const wr = v128.load_splat<f32>(weights + (r << 2))
    const row = from + r * fromBytes
    for (let c: usize = 0; c < end; c += 16) {
      const w = f32x4.mul(wr, v128.load(weights + c))
      sum = f32x4.add(sum, f32x4.mul(w, v128.load(row + c)))
      all = f32x4.add(all, w)
    }
  }
  const mean = addLanes(sum) / addLanes(all)
  const vm = f32x4.splat(mean)
  for (let r: usize = 0; r < n; r++) {
    const wr = v128.load_splat<f32>(weights + (r << 2))
    const row = from + r * fromBytes
    const target = out + r * rowBytes
    for (let c: usize = 0; c < end; c += 16) {
      v128.store(
        target + c,
        f32x4.mul(f32x4.sub(v128.load(row + c), vm), f32x4.mul(wr, v128.load(weights + c))),
      )
    }
  }
  return mean
}

// @ts-ignore: decorator
@inline
export function addLanes(v: v128): f32 {
  return (
    f32x4.extract_lane(v, 0) + f32x4.extract_lane(v, 1) + (f32x4.extract_lane(v, 2) + f32x4.extract_lane(v, 3))
  )
}

/** The same for the mix a rg + b bg of two planes. */
export function loadMix(
  rg: usize, bg: usize, a: f32, b: f32, fromBytes: usize, weights: usize, out: usize, n: usize, rowBytes: usize,
): void {
  const end = n << 2
  const va = f32x4.splat(a)
  const vb = f32x4.splat(b)
  let sum = f32x4.splat(0)
  let all = f32x4.splat(0)
  for (let r: usize = 0; r < n; r++) {
    const wr = v128.load_splat<f32>(weights + (r << 2))
    const row = r * fromBytes
    const target = out + r * rowBytes
    for (let c: usize = 0; c < end; c += 16) {
      const w = f32x4.mul(wr, v128.load(weights + c))
      const mix = f32x4.add(f32x4.mul(va, v128.load(rg + row + c)), f32x4.mul(vb, v128.load(bg + row + c)))
      const part = f32x4.mul(w, mix)
      sum = f32x4.add(sum, part)
      all = f32x4.add(all, w)
      v128.store(target + c, part)
    }
  }
  const vm = f32x4.splat(addLanes(sum) / addLanes(all))
  for (let r: usize = 0; r < n; r++) {
    const wr = v128.load_splat<f32>(weights + (r << 2))
    const target = out + r * rowBytes
    for (let c: usize = 0; c < end; c += 16) {
      const w = f32x4.mul(wr, v128.load(weights + c))
      v128.store(target + c, f32x4.sub(v128.load(target + c), f32x4.mul(w, vm)))
    }
  }
}

/** Adds trust * window * (scale * part + mix + window * mean) to one plane, and trust * window^2 to the other. */
export function addWindow(
  part: usize, mix: usize, rowBytes: usize, weights: usize, mean: f32, scale: f32, trust: f32,
  to: usize, weightTo: usize, toBytes: usize, n: usize,
): void {
  const end = n << 2
  const vm = f32x4.splat(mean)
  const vs = f32x4.splat(scale)
  const vt = f32x4.splat(trust)
  for (let r: usize = 0; r < n; r++) {
    const wr = f32x4.mul(vt, v128.load_splat<f32>(weights + (r << 2)))
    const ur = v128.load_splat<f32>(weights + (r << 2))
    const row = r * rowBytes
    const target = r * toBytes
    for (let c: usize = 0; c < end; c += 16) {
      const across = v128.load(weights + c)
      const w = f32x4.mul(ur, across)
      const tw = f32x4.mul(wr, across)
      const inside = f32x4.add(
        f32x4.add(f32x4.mul(vs, v128.load(part + row + c)), v128.load(mix + row + c)),
        f32x4.mul(w, vm),
      )
      const at = to + target + c
      const weightAt = weightTo + target + c
      v128.store(at, f32x4.add(v128.load(at), f32x4.mul(tw, inside)))
      v128.store(weightAt, f32x4.add(v128.load(weightAt), f32x4.mul(tw, w)))
    }
  }
}

/** Adds window * (scale * part + window * mean) to a plane. */
export function addPlain(
  part: usize, rowBytes: usize, weights: usize, mean: f32, scale: f32, to: usize, toBytes: usize, n: usize,
): void {
  const end = n << 2
  const vm = f32x4.splat(mean)
  const vs = f32x4.splat(scale)
  for (let r: usize = 0; r < n; r++) {
    const down = v128.load_splat<f32>(weights + (r << 2))
    for (let c: usize = 0; c < end; c += 16) {
      const w = f32x4.mul(down, v128.load(weights + c))
      const inside = f32x4.add(f32x4.mul(vs, v128.load(part + r * rowBytes + c)), f32x4.mul(w, vm))
      const at = to + r * toBytes + c
      v128.store(at, f32x4.add(v128.load(at), f32x4.mul(w, inside)))
    }
  }
}

/** Adds window^2 to a plane. */
export function addWeights(weights: usize, to: usize, toBytes: usize, n: usize): void {
  const end = n << 2
  for (let r: usize = 0; r < n; r++) {
    const down = v128.load_splat<f32>(weights + (r << 2))
    for (let c: usize = 0; c < end; c += 16) {
      const w = f32x4.mul(down, v128.load(weights + c))
      const at = to + r * toBytes + c
      v128.store(at, f32x4.add(v128.load(at), f32x4.mul(w, w)))
    }
  }
}

/** Repeats column 0 behind the last column, so that four partners -k can be loaded at once. */
export function wrapColumn(part: usize, n: usize, rowBytes: usize): void {
  for (let r: usize = 0; r < n; r++) {
    const row = part + r * rowBytes
    store<f32>(row + (n << 2), load<f32>(row))
  }
}

// @ts-ignore: decorator
@inline
export function reversed(v: v128): v128 {
  return v128.shuffle<i32>(v, v, 3, 2, 1, 0)
}

// @ts-ignore: decorator
@inline
export function squares(a: v128, b: v128): v128 {
  return f32x4.add(f32x4.mul(a, a), f32x4.mul(b, b))
}

/** Fills one column before and one behind, and one row above and below, from the other side. */
function wrapRatios(plane: usize, n: usize, rowBytes: usize): void {
  for (let r: usize = 1; r <= n; r++) {
    const row = plane + r * rowBytes
    store<f32>(row + 12, load<f32>(row + 16 + ((n - 1) << 2)))
    store<f32>(row + 16 + (n << 2), load<f32>(row + 16))
  }
  memory.copy(plane, plane + n * rowBytes, rowBytes)
  memory.copy(plane + (n + 1) * rowBytes, plane + rowBytes, rowBytes)
}

// @ts-ignore: decorator
@inline
function down(at: usize, rowBytes: usize, two: v128): v128 {
  return f32x4.add(
    f32x4.add(v128.load(at - rowBytes), v128.load(at + rowBytes)),
    f32x4.mul(two, v128.load(at)),
  )
}

/**
 * Power over a known power, frequency by frequency, of the two real pictures whose transforms are packed as A + i B; into
 * rows of n + 8 with room for a frame (see smoothedRatios).
 * @param inverseA, inverseB 1 / known power, n rows of n + 4; times scaleA, scaleB
 */
export function packedRatios(
  re: usize, im: usize, inverseA: usize, inverseB: usize, scaleA: f32, scaleB: f32, ratioA: usize, ratioB: usize,
  n: usize,
): void {
  const rowBytes: usize = (n << 2) + 16
  const ratioBytes: usize = (n << 2) + 32
  const last = n << 2
  const quarterA = f32x4.splat(<f32>0.25 * scaleA)
  const quarterB = f32x4.splat(<f32>0.25 * scaleB)
  for (let r: usize = 0; r < n; r++) {
    const row = r * rowBytes
    const partner = ((n - r) & (n - 1)) * rowBytes
    const ratioRow = (r + 1) * ratioBytes + 16
    for (let c: usize = 0; c < last; c += 16) {
      const zr = v128.load(re + row + c)
      const zi = v128.load(im + row + c)
      const back = partner + last - c - 12
      const pr = reversed(v128.load(re + back))
      const pi = reversed(v128.load(im + back))
      const perA = f32x4.mul(quarterA, v128.load(inverseA + row + c))
      const perB = f32x4.mul(quarterB, v128.load(inverseB + row + c))
      const powerA = squares(f32x4.add(zr, pr), f32x4.sub(zi, pi))
      const powerB = squares(f32x4.add(zi, pi), f32x4.sub(pr, zr))
      v128.store(ratioA + ratioRow + c, f32x4.mul(perA, powerA))
      v128.store(ratioB + ratioRow + c, f32x4.mul(perB, powerB))
    }
  }
}

/**
 * Ratios smoothed over their neighbours, the plane closed round its borders; returns the largest of them times `counted`,
 * n rows of n + 4.
 */
export function smoothedRatios(ratio: usize, out: usize, counted: usize, n: usize): f32 {
  const rowBytes: usize = (n << 2) + 16
  const ratioBytes: usize = (n << 2) + 32
  const last = n << 2
  const tiny = f32x4.splat(1e-12)
  const two = f32x4.splat(2)
  const sixteenth = f32x4.splat(0.0625)
  wrapRatios(ratio, n, ratioBytes)
  let most = tiny
  for (let r: usize = 0; r < n; r++) {
    const ratioRow = ratio + (r + 1) * ratioBytes + 16
    // A mean with weights 1 2 1 in both directions: down first, then across the four columns before, here and after.
    let before = down(ratioRow - 16, ratioBytes, two)
    let here = down(ratioRow, ratioBytes, two)
    for (let c: usize = 0; c < last; c += 16) {
      const after = down(ratioRow + c + 16, ratioBytes, two)
      const left = v128.shuffle<i32>(before, here, 3, 4, 5, 6)
      const right = v128.shuffle<i32>(here, after, 1, 2, 3, 4)
      const sum = f32x4.add(f32x4.add(left, right), f32x4.mul(two, here))
      const s = f32x4.add(f32x4.mul(sixteenth, sum), tiny)
      before = here
      here = after
      v128.store(out + r * rowBytes + c, s)
      most = f32x4.max(most, f32x4.mul(s, v128.load(counted + r * rowBytes + c)))
    }
  }
  return Mathf.max(
    Mathf.max(f32x4.extract_lane(most, 0), f32x4.extract_lane(most, 1)),
    Mathf.max(f32x4.extract_lane(most, 2), f32x4.extract_lane(most, 3)),
  )
}

/** Shares of the known power that the last packedGains let pass. */
export let passedA: f32 = 0
export let passedB: f32 = 0

/**
 * Two packed transforms, each frequency times 1 - over / ratio (0 where that is less).
 * @param share the known power as a share of its whole, n rows of n + 4
 */
export function packedGains(
  re: usize, im: usize, ratioA: usize, ratioB: usize, overA: f32, overB: f32, share: usize, outRe: usize, outIm: usize,
  n: usize,
): void {
  const rowBytes: usize = (n << 2) + 16
  const last = n << 2
  const half = f32x4.splat(0.5)
  const zero = f32x4.splat(0)
  const one = f32x4.splat(1)
  const vA = f32x4.splat(overA)
  const vB = f32x4.splat(overB)
  let sumA = zero
  let sumB = zero
  for (let r: usize = 0; r < n; r++) {
    const row = r * rowBytes
    const partner = ((n - r) & (n - 1)) * rowBytes
    for (let c: usize = 0; c < last; c += 16) {
      const ga = f32x4.max(f32x4.sub(one, f32x4.div(vA, v128.load(ratioA + row + c))), zero)
      const gb = f32x4.max(f32x4.sub(one, f32x4.div(vB, v128.load(ratioB + row + c))), zero)
      const part = v128.load(share + row + c)
      sumA = f32x4.add(sumA, f32x4.mul(part, f32x4.mul(ga, ga)))
      sumB = f32x4.add(sumB, f32x4.mul(part, f32x4.mul(gb, gb)))
      // ga A + i gb B of Z = A + i B is (ga + gb) / 2 Z + (ga - gb) / 2 conj Z(-k).
      const both = f32x4.mul(half, f32x4.add(ga, gb))
      const apart = f32x4.mul(half, f32x4.sub(ga, gb))
      const back = partner + last - c - 12
      const pr = reversed(v128.load(re + back))
      const pi = reversed(v128.load(im + back))
      v128.store(outRe + row + c, f32x4.add(f32x4.mul(both, v128.load(re + row + c)), f32x4.mul(apart, pr)))
      v128.store(outIm + row + c, f32x4.sub(f32x4.mul(both, v128.load(im + row + c)), f32x4.mul(apart, pi)))
    }
  }
  passedA = addLanes(sumA)
  passedB = addLanes(sumB)
}

/**
 * How far a window is to be trusted beside its neighbours: the inverse of the share of relief it lets pass. Windows over
 * an edge pass much, and their even part is better known from the windows that do not touch the edge.
 */
// @ts-ignore: decorator
@inline
export function trustOf(passed: f32, eps: f32): f32 {
  return 1 / (passed + eps)
}
