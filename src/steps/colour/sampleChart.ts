import type { ChartLayout } from '../../colour/charts/ChartLayout.js'
import type { Matrix3 } from '../../colour/matrix3.js'
import { RequestError } from '../../errors.js'
import type { Source } from '../../raster/Source.js'
import type { LocatedChart } from './locateChart.js'
import { type PatchSample, samplePatch } from './samplePatch.js'

/**
 * Reads every patch of a chart.
 * @param label the capture's name, for messages
 * @param toDevice row-major 3x3, from the working space to the device's own channels
 * @throws RequestError where a patch leaves the picture
 */
export function sampleChart(
  source: Source,
  label: string,
  { patches, title }: ChartLayout,
  { toPicture, patchShare }: Pick<LocatedChart, 'toPicture' | 'patchShare'>,
  toDevice: Matrix3,
): PatchSample[] {
  return patches.map(({ name, at }) => {
    const sample = samplePatch(source, toPicture, patchShare, at, toDevice)
    if (sample) return sample
    throw new RequestError({
      where: label,
      what: `the ${name} patch lies outside the picture or holds no pixel`,
      expected: `all ${patches.length} patches of the ${title} in the frame`,
      todo: 'Capture the whole chart, larger in the frame',
    })
  })
}
