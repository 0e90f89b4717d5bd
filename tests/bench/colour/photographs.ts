import { existsSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { captureSource } from '../../../src/colour/captureSource.js'
import { spaceTransform } from '../../../src/colour/spaceTransform.js'
import { decodePicture } from '../../../src/files/decodePicture.js'
import type { ChartReading } from '../../../src/steps/colour/Reading.js'
import { colour } from '../../../src/steps/colour/step.js'
import { readContext } from '../../helpers/readContext.js'
import { row } from '../row.js'

const folder = fileURLToPath(new URL('../../../../shared/data/charts/', import.meta.url))

/** Four hand-held photographs of a chart (github JTvD/arcu @0a1db96, MIT). */
export async function photographs(): Promise<void> {
  if (!existsSync(folder)) {
    row('photographs', 'left out', 'they are not beside the checkout')
    return
  }
  const sRGB = spaceTransform('sRGB')
  const deviceToWorking = sRGB.kind === 'matrix' ? sRGB.matrix : undefined
  for (const n of [1, 2, 3, 4]) {
    const name = `chart24-photo-0${n}.jpg`
    const { raster } = await decodePicture(`${folder}${name}`)
    const chart = { source: captureSource(raster, sRGB), info: { deviceToWorking } }
    const context = readContext([], { auxiliaryCaptures: { [name]: chart } })
    const reading = (await colour.read([], colour.params.parse({ chart: name }), context)) as ChartReading
    const of = (value: (patch: ChartReading['patches'][number]) => number) =>
      reading.patches.reduce((sum, patch) => sum + value(patch), 0) / reading.patches.length
    const [before, after, leftOut] = [
      of((patch) => patch.before),
      of((patch) => patch.after),
      of((patch) => patch.leftOut ?? patch.after),
    ]
    row(
      `photograph ${n}: ${reading.fit.rung}, ${reading.tone}`,
      `${leftOut.toFixed(2)} dE2000 left out`,
      `before ${before.toFixed(2)}, fitted ${after.toFixed(2)}`,
      leftOut < before,
    )
  }
}
