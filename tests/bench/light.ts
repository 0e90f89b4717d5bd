import { blankBoard } from '../../demo-data/blankBoard.js'
import { cutUp } from '../../demo-data/cutUp.js'
import { lampFalloff } from '../../demo-data/lighting/lampFalloff.js'
import { paint } from '../../demo-data/paint.js'
import { captureSource } from '../../src/colour/captureSource.js'
import { spaceTransform } from '../../src/colour/spaceTransform.js'
import type { Raster } from '../../src/raster/Raster.js'
import { emptyTile } from '../../src/raster/Tile.js'
import type { Reading } from '../../src/steps/flat-field/Reading.js'
import { flatField } from '../../src/steps/flat-field/step.js'
import { readContext, tileSource } from '../helpers/readContext.js'
import { row } from './row.js'

const LAMP = { lampFromDeg: 10, falloff: 0.2 }
const DEVICE = { device: 'scanner', noise: 0.0035, blurPx: 0.6 } as const

/**
 * What flat-field leaves of the painter's lamp, which takes a fifth of the light at the darkest corner: with a board, with
 * three, and with the sheet's own margins, whose stated error stands beside the true one.
 */
export async function light(): Promise<void> {
  const seen = (raster: Raster) => captureSource(raster, spaceTransform('sRGB'))
  const size = { width: 900, height: 640 }
  const boards = [1, 2, 3].map((seed) => seen(blankBoard({ ...LAMP, ...DEVICE, ...size, dust: 60, seed })))
  for (const count of [1, 3]) {
    const auxiliaryCaptures = Object.fromEntries(
      boards.slice(0, count).map((source, i) => [`board-${i}`, { source }]),
    )
    const params = flatField.params.parse({ board: Object.keys(auxiliaryCaptures) })
    const reading = await flatField.read([], params, readContext([boards[0]], { auxiliaryCaptures }))
    const { range, rms } = left(reading, size)
    row(
      `${count} dusty board${count > 1 ? 's' : ''}`,
      `${range.toFixed(2)} % range`,
      `RMS ${rms.toFixed(2)} %`,
    )
  }
  const factors: number[] = []
  for (const sheet of ['tooth', 'laid', 'weave', 'smooth'] as const) {
    for (const seed of [7, 8]) {
      const painting = paint({ seed, width: 1000, height: 700, ppi: 300, sheet })
      const tiles = cutUp(painting, {
        ...{ ...LAMP, ...DEVICE, lampHeightDeg: 42, reliefDepth: 1, columns: 2, rows: 2, overlap: 0.2 },
        ...{ rotationDeg: 0.35, jitterPx: 4, turnedTiles: [3], gainSpread: 0, seed: 1 },
      })
      const sources = tiles.map(({ raster }) => seen(raster))
      const reading = await flatField.read([], flatField.params.parse({}), readContext(sources))
      const { range, rms } = left(reading, sources[0])
      const stated = reading.margins!.unsurePercent
      factors.push(Math.max(rms / stated, stated / rms))
      row(
        `margins of four tiles, ${sheet}, seed ${seed}`,
        `${range.toFixed(2)} % range`,
        `RMS ${rms.toFixed(2)} %, stated ${stated.toFixed(2)} %`,
      )
    }
  }
  row('stated error against the true one', `${Math.max(...factors).toFixed(2)} x at worst`, '')
}

/** What is left of the lamp over the frame, percent. */
function left(reading: Reading, { width, height }: { width: number; height: number }) {
  const lamp = emptyTile({ x: 0, y: 0, width, height })
  const arriving = lampFalloff(LAMP.lampFromDeg, LAMP.falloff)
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const value = arriving((2 * x) / (width - 1) - 1, (2 * y) / (height - 1) - 1)
      for (const plane of lamp.planes) plane[y * width + x] = value
    }
  }
  const [even] = flatField.apply([tileSource(lamp)], reading, flatField.params.parse({}))
  const [, values] = even.region(lamp.rect).planes
  const mean = values.reduce((sum, v) => sum + v, 0) / values.length
  const most = values.reduce((a, b) => Math.max(a, b))
  const least = values.reduce((a, b) => Math.min(a, b))
  const square = values.reduce((sum, v) => sum + (v / mean - 1) ** 2, 0) / values.length
  return { range: (100 * (most - least)) / mean, rms: 100 * Math.sqrt(square) }
}
