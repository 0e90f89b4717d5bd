import { WASM_BASE64 } from './wasm.generated.js'

/** What assembly/index.ts exports. Offsets are bytes into `memory`; wrappers beside this file give them types. */
export interface KernelExports {
  memory: WebAssembly.Memory
  heapBase(): number
  addRowBlocks(row: number, width: number, factor: number, sums: number): void
  reduceBlocks(plane: number, width: number, height: number, factor: number, sums: number, out: number): void
  /** blur.ts: see raster/blurred.ts and steps/stitch/views/. */
  meanColumns(from: number, to: number, width: number, height: number, radius: number, sums: number): void
  meanShortColumns(
    from: number,
    to: number,
    width: number,
    height: number,
    radius: number,
    sums: number,
  ): void
  transposePlane(from: number, to: number, width: number, height: number): void
  subtractPlane(a: number, b: number, count: number): void
  // biome-ignore format: planes, how they are seen
  logStructure(
    r: number, g: number, b: number, count: number, floor: number, wr: number, wg: number, wb: number,
  ): void
  /** colour.ts: see colour/encode/ and colour/decode/. */
  // biome-ignore format: planes, table, what counts as cut off, results
  encodePixels(
    r: number, g: number, b: number, count: number, matrix: number,
    table: number, shift: number, offset: number, last: number, least: number, lowest: number, highest: number,
    out: number, clipped: number,
  ): void
  // biome-ignore format: codes, tables, planes
  decodePixels(
    data: number, count: number, curveR: number, curveG: number, curveB: number, matrix: number,
    r: number, g: number, b: number,
  ): void
  // biome-ignore format: codes, tables, planes
  decodeGridPixels(
    data: number, count: number, curveR: number, curveG: number, curveB: number, grid: number, size: number,
    r: number, g: number, b: number,
  ): void
  // biome-ignore format: planes, windows, marks
  markHues(
    r: number, g: number, b: number, count: number, matrices: number,
    windows: number, windowCount: number, leastChroma: number, marks: number,
  ): void
  /** correct.ts: see steps/colour/. */
  // biome-ignore format: planes, what is done to them
  correctColours(
    r: number, g: number, b: number, count: number, numbers: number, degree: number, bent: boolean,
    field: number, size: number,
  ): void
  /** fft.ts, steadyRatios.ts, texturePilot.ts, textureFinal.ts: see raster/fft/ and steps/paper-texture/. */
  fft2d(re: number, im: number, workRe: number, workIm: number, n: number, rowBytes: number): void
  /** paperWhite.ts: see steps/paper-white/. */
  scaleRow(row: number, count: number, x: number, scale: number, a: number, b: number, c: number): void
  // biome-ignore format: one line of planes and one of numbers
  liftRow(
    r: number, g: number, b: number, rowBytes: number, sums: number, outR: number, outG: number, outB: number, count: number,
    nearLight: number, nearChroma: number, nearReach: number, ownLight: number, ownChroma: number, ownReach: number,
  ): void
  // biome-ignore format: one line of planes and one of numbers
  logPlanes(
    r: number, g: number, b: number, y: number, rg: number, bg: number,
    count: number, wr: number, wg: number, wb: number, offset: number, tintRed: number, tintBlue: number,
  ): void
  // biome-ignore format: as above
  recolour(
    r: number, g: number, b: number, y: number, clean: number, rg: number, bg: number, steadyRed: number, steadyBlue: number,
    count: number, wr: number, wg: number, wb: number, tintRed: number, tintBlue: number, amount: number,
    kept: number, paper: number,
  ): void
  // biome-ignore format: as above
  steadyGrid(
    columns: number, rows: number, across: number, down: number,
    y: number, rg: number, bg: number, at: number, fromBytes: number, outRed: number, outBlue: number, outWeight: number,
    weights: number, noise: number, over: number, fall: number, wr: number, wg: number, wb: number,
    tintRed: number, tintBlue: number, work: number, n: number,
  ): void
  // biome-ignore format: as above
  pilotGrid(
    columns: number, rows: number, across: number, down: number,
    y: number, rg: number, bg: number, at: number, fromBytes: number, out: number, outRest: number, outWeight: number,
    weights: number, spectra: number, over: number, bareOver: number, ridge: number, eps: number, paper: number,
    mixes: number, work: number, n: number,
  ): void
  // biome-ignore format: as above
  finalGrid(
    columns: number, rows: number, across: number, fromDown: number, toDown: number, mixesDown: number,
    y: number, rg: number, bg: number, pilot: number, from: number, fromBytes: number,
    out: number, outWeight: number, to: number, toBytes: number, weights: number, spectra: number,
    over: number, bareOver: number, eps: number, mixes: number, work: number, n: number,
  ): void
  divideByWeights(sums: number, weights: number, count: number): void
  /** jointBilateral.ts: see steps/paper-texture/. */
  // biome-ignore format: the planes, their weights, the result
  jointBilateral(
    a: number, b: number, c: number, values: number, fromBytes: number, near: number, reach: number, every: number,
    perRatio: number, perLight: number, out: number, toBytes: number, width: number, height: number,
  ): void
  setAside(
    y: number,
    pilot: number,
    rest: number,
    common: number,
    share: number,
    out: number,
    count: number,
  ): void
  addRow(from: number, to: number, count: number): void
  /** resample.ts: see raster/resample/ and outputs/sharpening/. */
  // biome-ignore format: the rows, their filter, the result
  filterRows(
    src: number, strideBytes: number, rows: number, starts: number, weights: number, taps: number, out: number, width: number,
  ): void
  // biome-ignore format: the rows, their weights, the result
  weighRows(
    src: number, strideBytes: number, weights: number, count: number, out: number, width: number, fresh: number,
  ): void
  addWeighted(
    src: number,
    strideBytes: number,
    weights: number,
    count: number,
    out: number,
    width: number,
  ): void
  // biome-ignore format: as above
  extremes(
    lowSrc: number, highSrc: number, strideBytes: number, count: number, low: number, high: number, width: number,
  ): void
  // biome-ignore format: as above
  rootLuminance(
    r: number, g: number, b: number, out: number, count: number, wr: number, wg: number, wb: number,
  ): void
  // biome-ignore format: as above
  sharpeningGain(
    root: number, blurred: number, low: number, high: number, gain: number, count: number,
    amount: number, limit: number, floor: number, floorFoot: number, gainFoot: number,
  ): void
  multiply(plane: number, gain: number, count: number): void
  /** corners.ts and products.ts: see steps/stitch/place/features/. */
  // biome-ignore format: planes, the result
  cornerStrength(
    a: number, b: number, c: number, stride: number, height: number, work: number, out: number,
  ): void
  // biome-ignore format: rows, other rows, result
  allProducts(a: number, countA: number, b: number, countB: number, length: number, scale: number, out: number): void
  /** warp.ts: see raster/warp/. */
  // biome-ignore format: the patch, how to read it, what to fill
  warpPatch(
    r: number, g: number, b: number, stride: number, patchX: number, patchY: number, table: number, map: number,
    bent: boolean, x0: number, y0: number, width: number, height: number, outR: number, outG: number, outB: number,
  ): void
  // biome-ignore format: the patch, how to read it, what to fill
  warpByAxes(
    r: number, g: number, b: number, stride: number, patchX: number, patchY: number, rows: number, table: number, map: number,
    work: number, x0: number, y0: number, width: number, height: number, outR: number, outG: number, outB: number,
    across: number, down: number,
  ): void
  /** levelOut.ts: see steps/stitch/light/. */
  // biome-ignore format: planes, their place, what they are multiplied by
  levelPlanes(
    r: number, g: number, b: number, x0: number, y0: number, width: number, height: number, field: number,
    gainR: number, gainG: number, gainB: number,
  ): void
  /** windowShift.ts: see steps/stitch/refine/. */
  // biome-ignore format: the plane, the shift
  shiftPlane(
    from: number, to: number, work: number, stride: number, first: number, last: number, x: number, y: number,
    tapsX: number, tapsY: number,
  ): void
  compareWindows(a: number, b: number, stride: number, first: number, last: number, sums: number): void
  /** windows8.ts: see steps/stitch/combine/. */
  cosineWindows(plane: number, strideBytes: number, count: number, step: number, out: number): void
  // biome-ignore format: the pair, how it shades, results
  pairRoots(
    a: number, b: number, count: number, across: number, curvature: number, leastEven: number, leastLight: number,
    wr: number, wg: number, wb: number, mean: number, half: number,
  ): void
  // biome-ignore format: planes, windows, what is known, sums
  pictureWindows(
    mean: number, half: number, stride: number, planePx: number, firstX: number, firstY: number, across: number,
    down: number, step: number, spectra: number, weights: number, readout: number, photon: number, darkest: number,
    luminanceShare: number, threshold: number, wr: number, wg: number, wb: number, work: number, sums: number,
  ): void
  lightOfSums(sums: number, count: number, out: number): void
}

let exports: KernelExports | undefined

/** This thread's own instance of the module; compiled on first use. */
export function kernels(): KernelExports {
  exports ??= new WebAssembly.Instance(new WebAssembly.Module(Buffer.from(WASM_BASE64, 'base64')))
    .exports as unknown as KernelExports
  return exports
}

/**
 * Byte offsets of scratch blocks of the given byte lengths, 16-byte aligned, growing the memory where needed. The
 * blocks are good until the next call: a wrapper asks once, copies in, calls, copies out. Take views on
 * `kernels().memory.buffer` only after this call, as growing detaches older ones.
 */
export function scratch(...byteLengths: number[]): number[] {
  return blocksFrom(held ?? kernels().heapBase(), byteLengths).offsets
}

/** End of what is held, where something is. */
let held: number | undefined

/**
 * Scratch blocks that stay good while `work` runs, whatever it calls: other blocks then lie behind them. Views are taken
 * anew after every call of another room, which may have grown the memory.
 */
export function holding<T>(byteLengths: readonly number[], work: (...offsets: number[]) => T): T {
  const before = held
  const { offsets, end } = blocksFrom(before ?? kernels().heapBase(), byteLengths)
  held = end
  try {
    return work(...offsets)
  } finally {
    held = before
  }
}

function blocksFrom(start: number, byteLengths: readonly number[]): { offsets: number[]; end: number } {
  const { memory } = kernels()
  const offsets: number[] = []
  let end = (start + 15) & ~15
  for (const length of byteLengths) {
    offsets.push(end)
    end = (end + length + 15) & ~15
  }
  const missing = end - memory.buffer.byteLength
  if (missing > 0) memory.grow(Math.ceil(missing / 65536))
  return { offsets, end }
}
