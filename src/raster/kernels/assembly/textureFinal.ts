import { fft2d } from './fft'
import { addLanes, addWindow, loadMix, loadWindow, reversed, squares, trustOf, wrapColumn } from './windowed'

// The second stage of the windowed spectral filter of relief. All planes are float32.

let trust: f32 = 0

/** One window of the second stage: its filtered spectrum, times i where `second`, into the packed one. Returns the mean. */
function gainFromPilot(
  y: usize, rg: usize, bg: usize, pilot: usize, at: usize, fromBytes: usize, weights: usize, spectra: usize, over: f32,
  bareOver: f32, eps: f32, mixes: usize, mix: usize, work: usize, packed: usize, second: bool, n: usize,
): f32 {
  const rowBytes: usize = (n << 2) + 16
  const plane = rowBytes * n
  const re = work
  const im = re + plane
  const mean = loadWindow(y + at, fromBytes, weights, re, n, rowBytes)
  loadWindow(pilot + at, fromBytes, weights, im, n, rowBytes)
  loadMix(rg + at, bg + at, load<f32>(mixes), load<f32>(mixes, 4), fromBytes, weights, mix, n, rowBytes)
  for (let i: usize = 0; i < plane; i += 16) {
    const m = v128.load(mix + i)
    v128.store(re + i, f32x4.sub(v128.load(re + i), m))
    v128.store(im + i, f32x4.sub(v128.load(im + i), m))
  }
  fft2d(re, im, im + plane, im + 2 * plane, n, rowBytes)
  wrapColumn(re, n, rowBytes)
  wrapColumn(im, n, rowBytes)
  const half = f32x4.splat(0.5)
  const vOver = f32x4.splat(over + (bareOver - over) * (1 - load<f32>(mixes, 8)))
  const share = spectra + 2 * plane
  const last = n << 2
  let passed = f32x4.splat(0)
  for (let r: usize = 0; r < n; r++) {
    const row = r * rowBytes
    const partner = ((n - r) & (n - 1)) * rowBytes
    for (let c: usize = 0; c < last; c += 16) {
      const zr = v128.load(re + row + c)
      const zi = v128.load(im + row + c)
      const back = partner + last - c - 12
      const pr = reversed(v128.load(re + back))
      const pi = reversed(v128.load(im + back))
      const yr = f32x4.mul(half, f32x4.add(zr, pr))
      const yi = f32x4.mul(half, f32x4.sub(zi, pi))
      const qr = f32x4.mul(half, f32x4.add(zi, pi))
      const qi = f32x4.mul(half, f32x4.sub(pr, zr))
      const ratio = f32x4.mul(squares(qr, qi), v128.load(spectra + row + c))
      const gain = f32x4.div(ratio, f32x4.add(ratio, vOver))
      passed = f32x4.add(passed, f32x4.mul(v128.load(share + row + c), f32x4.mul(gain, gain)))
      const gr = f32x4.mul(gain, yr)
      const gi = f32x4.mul(gain, yi)
      const target = packed + row + c
      if (second) {
        v128.store(target, f32x4.sub(v128.load(target), gi))
        v128.store(target + plane, f32x4.add(v128.load(target + plane), gr))
      } else {
        v128.store(target, gr)
        v128.store(target + plane, gi)
      }
    }
  }
  trust = trustOf(addLanes(passed), eps)
  return mean
}

/** The second stage for two windows: gain = pilot's power / (pilot's power + over * relief's power). */
function finalPair(
  y: usize, rg: usize, bg: usize, pilot: usize, a: usize, b: usize, fromBytes: usize,
  out: usize, outWeight: usize, outA: usize, outB: usize, toBytes: usize,
  weights: usize, spectra: usize, over: f32, bareOver: f32, eps: f32, mixes: usize, work: usize, n: usize,
): void {
  const rowBytes: usize = (n << 2) + 16
  const plane = rowBytes * n
  const packed = work + 4 * plane
  const mixOfA = packed + 2 * plane
  const mixOfB = mixOfA + plane
  const meanA = gainFromPilot(
    y, rg, bg, pilot, a, fromBytes, weights, spectra, over, bareOver, eps, mixes, mixOfA, work, packed, false, n,
  )
  const trustA = trust
  const meanB = gainFromPilot(
    y, rg, bg, pilot, b, fromBytes, weights, spectra, over, bareOver, eps, mixes + 16, mixOfB, work, packed, true, n,
  )
  const trustB = trust
  fft2d(packed + plane, packed, work, work + plane, n, rowBytes)
  const scale: f32 = 1 / <f32>(n * n)
  addWindow(packed, mixOfA, rowBytes, weights, meanA, scale, trustA, out + outA, outWeight + outA, toBytes, n)
  addWindow(
    packed + plane, mixOfB, rowBytes, weights, meanB, scale, trustB, out + outB, outWeight + outB, toBytes, n,
  )
}

/**
 * finalPair over a grid of windows, an even number of them in a row: the first lies at `from` and goes to `to`, one
 * `across` bytes further, one row of them `fromDown` and `toDown`; the mixes' rows lie `mixesDown` bytes apart.
 */
export function finalGrid(
  columns: i32, rows: i32, across: usize, fromDown: usize, toDown: usize, mixesDown: usize,
  y: usize, rg: usize, bg: usize, pilot: usize, from: usize, fromBytes: usize, out: usize, outWeight: usize, to: usize,
  toBytes: usize, weights: usize, spectra: usize, over: f32, bareOver: f32, eps: f32, mixes: usize, work: usize, n: usize,
): void {
  for (let j = 0; j < rows; j++) {
    for (let i = 0; i < columns; i += 2) {
      const a = from + <usize>j * fromDown + <usize>i * across
      const b = to + <usize>j * toDown + <usize>i * across
      finalPair(
        y, rg, bg, pilot, a, a + across, fromBytes, out, outWeight, b, b + across, toBytes, weights, spectra, over, bareOver,
        eps, mixes + <usize>j * mixesDown + (<usize>i << 4), work, n,
      )
    }
  }
}

/** sums = sums / weights where anything was added; count is a multiple of 4. */
export function divideByWeights(sums: usize, weights: usize, count: i32): void {
  const least = f32x4.splat(1e-20)
  const end = <usize>count << 2
  for (let i: usize = 0; i < end; i += 16) {
    v128.store(sums + i, f32x4.div(v128.load(sums + i), f32x4.max(v128.load(weights + i), least)))
  }
}
