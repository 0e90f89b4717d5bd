import { availableParallelism, tmpdir } from 'node:os'
import { join } from 'node:path'
import { emptyTile } from '../../../src/raster/Tile.js'
import { correctedSource } from '../../../src/steps/colour/correctedSource.js'
import { type Fit, RUNGS } from '../../../src/steps/colour/fit/Fit.js'
import { termCount } from '../../../src/steps/colour/fit/terms.js'
import { seeded } from '../../steps/colour/drawChart.js'
import { ioFloor } from '../ioFloor.js'
import { largeScan } from '../largeScan.js'
import { row } from '../row.js'

/** Tiles as the engine asks for them. */
const SIDE_PX = 512
const MEGAPIXELS = 70

/** What correcting 70 megapixels adds, on all threads, beside reading and writing that file. */
export async function speed(): Promise<void> {
  const floor = await ioFloor(await largeScan(), join(tmpdir(), 'finetooth-bench', 'floor.tif'))
  row('read + write 70 Mpx', `${floor.toFixed(2)} s`, 'the floor')
  const threads = availableParallelism()
  const random = seeded(2)
  const tile = emptyTile({ x: 0, y: 0, width: SIDE_PX, height: SIDE_PX })
  const before = tile.planes.map((plane) => Float32Array.from(plane, random))
  for (const rung of RUNGS.filter((one) => one !== 'none')) {
    for (const bend of [0, 0.3]) {
      const n = termCount(rung)
      const fit: Fit = {
        rung,
        channels: [1.1, 0.05, 0, 0.02, 1.2, 0.1, 0, 0.1, 1.3],
        tone: [0, 1, 2].map(() => ({ flare: 0, bend: [bend / 3, bend] })) as Fit['tone'],
        coefficients: Array.from({ length: 3 * n }, (_, k) => (k % n === Math.floor(k / n) ? 0.9 : 0.01)),
      }
      if (rung === 'smooth') fit.field = { size: 25, nodes: new Array(3 * 25 * 25).fill(0.01) }
      const source = correctedSource({ width: SIDE_PX, height: SIDE_PX, region: () => tile }, fit)
      const rounds = 40
      let best = Number.POSITIVE_INFINITY
      for (let round = 0; round < rounds; round++) {
        tile.planes.forEach((plane, c) => {
          plane.set(before[c])
        })
        const started = performance.now()
        source.region(tile.rect)
        best = Math.min(best, performance.now() - started)
      }
      const seconds = ((best / 1000) * MEGAPIXELS * 1e6) / SIDE_PX ** 2 / threads
      row(
        `${rung}${bend ? ' behind a curve' : ''}, ${threads} threads`,
        `${seconds.toFixed(2)} s, ${(seconds / floor).toFixed(2)} x`,
        'at most 0.5 x',
        seconds <= 0.5 * floor,
      )
    }
  }
}
