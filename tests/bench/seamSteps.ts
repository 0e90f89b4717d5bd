import { deltaE2000 } from '../../src/colour/deltaE2000.js'
import { xyzD50ToLab } from '../../src/colour/lab.js'
import { apply3, type Vector3 } from '../../src/colour/matrix3.js'
import { WORKING_TO_XYZ_D50 } from '../../src/colour/working.js'
import type { Tile } from '../../src/raster/Tile.js'
import type { SeamMap } from '../../src/steps/stitch/Reading.js'
import { fromRuns } from '../../src/steps/stitch/seams/runs.js'

/** From a seam to the middles of the patches compared, and half a patch's side. */
const AWAY_PX = 14
const HALF_PX = 5

/**
 * Steps across all seams of a sheet, in CIEDE2000: how much the far side of each seam differs from what the near side's
 * light and the truth say it ought to be.
 * @param sheet the stitched picture
 * @param truth the same picture as it ought to be, but for one factor a channel
 */
export function seamSteps(sheet: Tile, truth: Tile, seams: SeamMap): number[] {
  const { width, height } = sheet.rect
  const labels = fromRuns(seams.runs, seams.width * seams.height)
  const steps: number[] = []
  for (let j = 0; j < seams.height; j++) {
    for (let i = 0; i < seams.width; i++) {
      for (const [di, dj] of [
        [1, 0],
        [0, 1],
      ]) {
        if (i + di >= seams.width || j + dj >= seams.height) continue
        const [here, there] = [labels[j * seams.width + i], labels[(j + dj) * seams.width + i + di]]
        if (here < 0 || there < 0 || here === there) continue
        const x = Math.round((i + (1 + di) / 2) * seams.cellPx)
        const y = Math.round((j + (1 + dj) / 2) * seams.cellPx)
        const [ax, ay, bx, by] = [x - di * AWAY_PX, y - dj * AWAY_PX, x + di * AWAY_PX, y + dj * AWAY_PX]
        if (Math.min(ax, ay) < HALF_PX || bx + HALF_PX >= width || by + HALF_PX >= height) continue
        const [near, nearTrue, far, farTrue] = [
          patch(sheet, ax, ay),
          patch(truth, ax, ay),
          patch(sheet, bx, by),
          patch(truth, bx, by),
        ]
        const expected = farTrue.map((value, c) => (value * near[c]) / nearTrue[c]) as Vector3
        const step = deltaE2000(lab(far), lab(expected))
        if (Number.isFinite(step)) steps.push(step)
      }
    }
  }
  return steps
}

const lab = (linear: Vector3): Vector3 => xyzD50ToLab(apply3(WORKING_TO_XYZ_D50, linear))

function patch({ rect, planes }: Tile, x: number, y: number): Vector3 {
  return planes.map((plane) => {
    let sum = 0
    for (let j = -HALF_PX; j <= HALF_PX; j++) {
      for (let i = -HALF_PX; i <= HALF_PX; i++) sum += plane[(y + j) * rect.width + x + i]
    }
    return sum / (2 * HALF_PX + 1) ** 2
  }) as Vector3
}
