import type { ChartLayout } from '../../../src/colour/charts/ChartLayout.js'
import { labToXyzD50 } from '../../../src/colour/lab.js'
import { emptyTile, type Tile } from '../../../src/raster/Tile.js'
import { type Homography, invertHomography, mapPoint } from '../../../src/steps/colour/find/homography.js'
import { workingOfLab } from '../../../src/steps/colour/fit/labOfWorking.js'
import { seeded } from './drawChart.js'

type Triple = [number, number, number]

/**
 * Colours of our own for an ISO 12641-1 target, laid out as it is: twelve hues by three lightnesses by four chromas in
 * columns 1 to 12, scales of dyes and neutrals in 13 to 19, others in 20 to 22, then 24 greys. No maker's values.
 */
export function targetColours(seed = 1): Triple[] {
  const random = seeded(seed)
  const jitter = (size: number) => size * (random() - 0.5)
  const polar = (l: number, chroma: number, hue: number): Triple => [
    l,
    chroma * Math.cos((hue * Math.PI) / 180),
    chroma * Math.sin((hue * Math.PI) / 180),
  ]
  const grid = Array.from({ length: 264 }, (_, k): Triple => {
    const [column, row] = [k % 22, Math.floor(k / 22)]
    const hue = 16 + 30 * row
    if (column < 12) {
      return polar(
        25 + 22 * Math.floor(column / 4) + jitter(4),
        12 + 13 * (column % 4) + jitter(4),
        hue + jitter(8),
      )
    }
    const light = 90 - 6.6 * row
    if (column === 15) return [light, jitter(1), jitter(1)]
    if (column < 19) return polar(light, (1 - light / 100) * 70 + jitter(3), 60 * (column - 12) + jitter(6))
    return [30 + 60 * random(), 80 * (random() - 0.5), 80 * (random() - 0.5)]
  })
  return [...grid, ...Array.from({ length: 24 }, (_, k): Triple => [93 - 3.75 * k, 0, 0])]
}

/** A CGATS text of named colours. */
export function cgatsOf(names: readonly string[], labs: readonly Readonly<Triple>[], asXyz = false): string {
  const fields = asXyz ? 'XYZ_X XYZ_Y XYZ_Z' : 'LAB_L LAB_A LAB_B'
  const numbers = (lab: Readonly<Triple>) => (asXyz ? labToXyzD50([...lab]).map((v) => 100 * v) : lab)
  const rows = labs.map((lab, k) => [names[k], ...numbers(lab).map((v) => v.toFixed(4))].join('\t'))
  return [
    ...['IT8.7/2', 'ORIGINATOR "our own painter"', 'NUMBER_OF_FIELDS 4', 'BEGIN_DATA_FORMAT'],
    ...[`SAMPLE_ID ${fields}`, 'END_DATA_FORMAT', `NUMBER_OF_SETS ${rows.length}`, 'BEGIN_DATA', ...rows],
    ...['END_DATA', ''],
  ].join('\n')
}

/** A target whose patches touch, on grey card, each pixel the mean of four samples. */
export function drawTarget(
  { patches }: Pick<ChartLayout, 'patches'>,
  colours: readonly Readonly<Triple>[],
  { width, height, toPicture }: { width: number; height: number; toPicture: Homography },
  { device = (linear: Triple): Triple => linear, noise = 0.002, half = 0.5 } = {},
): Tile {
  const toChart = invertHomography(toPicture)
  const random = seeded(9)
  const linear = colours.map((lab) => device(workingOfLab([...lab])))
  const card = device([0.4, 0.4, 0.4])
  const rows = new Map<number, { left: number; pitch: number; at: number[] }>()
  patches.forEach(({ at: [u, v] }, k) => {
    const row = rows.get(v) ?? { left: u, pitch: 1, at: [] }
    if (row.at.length === 1) row.pitch = u - row.left
    row.at.push(k)
    rows.set(v, row)
  })
  const at = (x: number, y: number): Triple => {
    const [u, v] = mapPoint(toChart, [x, y])
    for (const [row, { left, pitch, at: held }] of rows) {
      if (Math.abs(v - row) > half) continue
      const k = Math.round((u - left) / pitch)
      if (k >= 0 && k < held.length && Math.abs(u - left - k * pitch) <= half * pitch) return linear[held[k]]
    }
    return card
  }
  const tile = emptyTile({ x: 0, y: 0, width, height })
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const samples = [0.25, 0.75].flatMap((dx) => [0.25, 0.75].map((dy) => at(x + dx, y + dy)))
      tile.planes.forEach((plane, c) => {
        const grain = (random() + random() + random() + random() - 2) * Math.sqrt(3) * noise
        plane[y * width + x] = samples.reduce((sum, one) => sum + one[c] / 4, 0) + grain
      })
    }
  }
  return tile
}

/** A grid turned about the picture's middle. */
export function turnedGrid(
  width: number,
  height: number,
  { columns, rows }: { columns: number; rows: number },
  pitch: number,
  degrees: number,
): Homography {
  const [c, s] = [Math.cos((degrees * Math.PI) / 180), Math.sin((degrees * Math.PI) / 180)]
  const [u, v] = [(columns - 1) / 2, (rows - 1) / 2 + 0.6]
  return [
    ...[c * pitch, -s * pitch, width / 2 - pitch * (c * u - s * v)],
    ...[s * pitch, c * pitch, height / 2 - pitch * (s * u + c * v)],
    ...[0, 0, 1],
  ]
}
