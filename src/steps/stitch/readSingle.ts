import type { ReadContext } from '../contract.js'
import { findResolution } from './layout/findResolution.js'
import { layOut, toSheet } from './layout/layOut.js'
import { STILL } from './Placement.js'
import type { StitchReading } from './Reading.js'
import type { Upright } from './views/Upright.js'

/** One capture: nothing to join, at most a turn. */
export function readSingle(
  context: ReadContext,
  upright: Upright,
  finestPpi: number | undefined,
): StitchReading {
  const { label, turned, width, height } = context.captures[0]
  const layout = layOut([upright], [STILL], 0)
  const statements = [
    turned
      ? `one capture only: nothing to join; it is turned back by ${turned} degrees and not resampled`
      : 'one capture only: nothing to join, its pixels are left as they are',
  ]
  return {
    width: layout.width,
    height: layout.height,
    ...findResolution(context, layout, finestPpi, statements),
    captures: [
      {
        ...{ label, turned, width, height },
        placed: { ...toSheet(upright, layout.placements[0]!), rotationDeg: 0, gain: [1, 1, 1] },
      },
    ],
    pairs: [],
    misplacementRmsPx: 0,
    windows: 0,
    outliers: 0,
    vectors: [],
    overlapShare: 0,
    uncoveredShare: 0,
    fill: [1, 1, 1],
    layers: [
      {
        captures: [0],
        seams: { cellPx: Math.max(layout.width, layout.height), width: 1, height: 1, runs: [0, 1] },
      },
    ],
    statements,
    warnings: [],
  }
}
