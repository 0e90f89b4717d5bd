import type { Comparison } from '../report/ReportInput.js'
import { MM_PER_INCH } from '../units.js'
import type { Chain, ChainCapture } from './Chain.js'
import { chooseDetails, type Detail } from './chooseDetails.js'
import { compare } from './compare.js'
import { sketchView } from './sketchView.js'
import { newChain, type TakenReading } from './takeReadings.js'
import type { WorkerPool } from './WorkerPool.js'

export interface Comparisons {
  fit: Comparison
  details: Comparison[]
  /** By step name. */
  steps: Map<string, Comparison[]>
}

const FIT_PX = 960
const DETAIL_PX = { width: 480, height: 360 }

/**
 * Shows what was done: captures against master, whole and at telling places, and the same places before and after each
 * step. "Captures" means their own pixels at the place where the joining step put them.
 */
export async function gatherComparisons(
  captures: readonly ChainCapture[],
  taken: readonly TakenReading[],
  master: ChainCapture,
  ppi: number,
  pool: WorkerPool,
): Promise<Comparisons> {
  const isJoin = ({ step }: TakenReading) => step.scope === 'join'
  const chainAfter = (done: number) =>
    newChain(
      captures,
      taken.filter((reading, i) => i < done || isJoin(reading)).map(({ stage }) => stage),
    )
  const first = chainAfter(0)
  const picture = master.raster
  const after = await sketchView(pool, newChain([master], []), picture, FIT_PX)
  // Where nothing but a join was done, the captures at their places are the master: they are not joined once more.
  const before = taken.every(isJoin) ? after : await sketchView(pool, first, picture, FIT_PX)
  const details = chooseDetails(before.view, before.factor, picture, DETAIL_PX)
  const whole = `The whole sheet, one pixel here for ${before.factor} x ${before.factor} of the master.`

  const steps = new Map<string, Comparison[]>()
  const untouched = await cropsOf(pool, first, details)
  let earlier = untouched
  for (const [i, reading] of taken.entries()) {
    if (isJoin(reading)) continue
    const chain = chainAfter(i + 1)
    const crops = await cropsOf(pool, chain, details)
    steps.set(
      reading.step.name,
      details.map((detail, k) => compare(detail.title, place(detail, ppi), earlier[k], crops[k])),
    )
    earlier = crops
  }
  return {
    fit: compare('The whole sheet', whole, before.view, after.view),
    details: details.map((detail, k) => compare(detail.title, place(detail, ppi), untouched[k], earlier[k])),
    steps,
  }
}

const cropsOf = (pool: WorkerPool, chain: Chain, details: readonly Detail[]) =>
  pool
    .runAll('regions', details, ({ rect }) => ({ chain, index: 0, rects: [rect] }))
    .then((tiles) => tiles.flat())

const place = ({ rect }: Detail, ppi: number) => {
  const mm = (px: number) => Math.round((px / ppi) * MM_PER_INCH)
  return `At 100 %, ${mm(rect.x)} mm from the left and ${mm(rect.y)} mm from the top.`
}
