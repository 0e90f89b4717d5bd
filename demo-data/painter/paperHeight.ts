import type { SheetKind } from '../Painting.js'
import { blurred } from './blurred.js'
import { fieldRow } from './fieldRow.js'
import { sampledField } from './sampledField.js'
import { seeded } from './seeded.js'
import { smoothNoise } from './smoothNoise.js'
import { standardised } from './standardised.js'

/**
 * The surface of a sheet in micrometres, mean 0.
 *
 * `tooth`: irregular grain with flat tops and pits; `laid`: parallel lines 0.9 mm apart and chain lines every 25 mm;
 * `weave`: threads crossing over and under every 0.6 mm; `smooth`: hot-pressed, hardly a structure. The measures are
 * common practice of papermaking and chosen by eye, not measured on a sheet.
 */
export function paperHeight(
  kind: SheetKind,
  width: number,
  height: number,
  ppi: number,
  seed: number,
): Float32Array {
  const pxPerMm = ppi / 25.4
  const grain = (part: number, sigmaMm: number) =>
    standardised(blurred(whiteNoise(width * height, seed, part), width, height, sigmaMm * pxPerMm))
  if (kind === 'tooth') return tooth(grain(1, 0.19), grain(2, 0.07), width, height, pxPerMm)
  if (kind === 'smooth') {
    const fine = grain(1, 0.06)
    const broad = grain(2, 0.3)
    for (let i = 0; i < fine.length; i++) fine[i] = 0.7 * fine[i] + 2 * broad[i]
    return standardised(fine, 2.4)
  }
  return kind === 'laid'
    ? laid(grain(1, 0.09), width, height, pxPerMm, seed)
    : weave(grain(1, 0.07), width, height, pxPerMm, seed)
}

function whiteNoise(length: number, ...seed: number[]): Float32Array {
  const random = seeded(...seed)
  const plane = new Float32Array(length)
  for (let i = 0; i < length; i++) plane[i] = random.next()
  return plane
}

/** Deviation of an ordinary tooth. */
export const TOOTH_UM = 17

function tooth(
  mid: Float32Array,
  fine: Float32Array,
  width: number,
  height: number,
  pxPerMm: number,
): Float32Array {
  const broad = blurred(mid, width, height, 0.55 * pxPerMm)
  for (let i = 0; i < mid.length; i++) mid[i] -= 0.85 * broad[i]
  standardised(mid)
  // The exponential flattens the tops and deepens the pits, as a felt pressed into wet pulp does.
  for (let i = 0; i < mid.length; i++) mid[i] = 1 - Math.exp(-0.5 * (mid[i] + 0.3 * fine[i]))
  return standardised(mid, TOOTH_UM)
}

function laid(
  fibre: Float32Array,
  width: number,
  height: number,
  pxPerMm: number,
  seed: number,
): Float32Array {
  const all = { x: 0, y: 0, width, height }
  const sway = smoothNoise(seed + 11, 2)
  const drift = sampledField(all, 8, (x, y) => 0.22 * sway(x / (9 * pxPerMm), y / (3 * pxPerMm)))
  const row = new Float32Array(width)
  const linePx = 0.9 * pxPerMm
  const chainPx = 25 * pxPerMm
  const chain = Float32Array.from({ length: width }, (_, x) => {
    const from = (((x / chainPx + 0.4) % 1) - 0.5) * 25
    return 9 * Math.exp(-((from / 0.5) ** 2))
  })
  for (let y = 0; y < height; y++) {
    fieldRow(drift, y, row)
    for (let x = 0; x < width; x++) {
      const wave = Math.cos(2 * Math.PI * (y / linePx + row[x]))
      fibre[y * width + x] = 11 * (wave - 0.25 * wave * wave) + chain[x] + 3.2 * fibre[y * width + x]
    }
  }
  return standardisedMean(fibre)
}

function weave(
  fibre: Float32Array,
  width: number,
  height: number,
  pxPerMm: number,
  seed: number,
): Float32Array {
  const all = { x: 0, y: 0, width, height }
  const pitch = 0.6 * pxPerMm
  const swayX = smoothNoise(seed + 12, 2)
  const swayY = smoothNoise(seed + 13, 2)
  const across = sampledField(
    all,
    8,
    (x, y) => x / pitch + 0.3 * swayX(x / (2.5 * pxPerMm), y / (12 * pxPerMm)),
  )
  const down = sampledField(
    all,
    8,
    (x, y) => y / pitch + 0.3 * swayY(x / (12 * pxPerMm), y / (2.5 * pxPerMm)),
  )
  const us = new Float32Array(width)
  const vs = new Float32Array(width)
  for (let y = 0; y < height; y++) {
    fieldRow(across, y, us)
    fieldRow(down, y, vs)
    for (let x = 0; x < width; x++) {
      const u = us[x]
      const v = vs[x]
      const sign = (Math.floor(u) + Math.floor(v)) & 1 ? -1 : 1
      const warp =
        Math.sqrt(Math.abs(Math.sin(Math.PI * u))) * (0.6 + 0.4 * sign * Math.abs(Math.sin(Math.PI * v)))
      const weft =
        Math.sqrt(Math.abs(Math.sin(Math.PI * v))) * (0.6 - 0.4 * sign * Math.abs(Math.sin(Math.PI * u)))
      fibre[y * width + x] = 62 * Math.max(warp, weft) + 3 * fibre[y * width + x]
    }
  }
  return standardisedMean(blurred(fibre, width, height, 0.05 * pxPerMm))
}

function standardisedMean(plane: Float32Array): Float32Array {
  let sum = 0
  for (let i = 0; i < plane.length; i++) sum += plane[i]
  const mean = sum / plane.length
  for (let i = 0; i < plane.length; i++) plane[i] -= mean
  return plane
}
