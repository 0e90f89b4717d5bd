import {
  assumeSame,
  type ExposureTie,
  type NamedConditions,
  tieByMetadata,
} from '../../../colour/exposure/tieExposures.js'
import { RequestError } from '../../../errors.js'
import type { Source } from '../../../raster/Source.js'
import type { ReadContext } from '../../contract.js'
import type { Params } from '../params.js'
import type { ChartReading } from '../Reading.js'
import { tieToPaper } from './tieToPaper.js'

/**
 * Ties the painting's captures to the chart's exposure, in the way the params ask for.
 * @param chart with its pixels where it was captured in this run
 * @throws RequestError where files are to say their exposure and do not
 */
export async function tie(
  wanted: Params['exposure'],
  chart: NamedConditions & { source?: Source },
  reading: Pick<ChartReading, 'chart' | 'fit'>,
  context: ReadContext,
): Promise<ExposureTie> {
  const same = assumeSame(context.kind, context.captures)
  if (wanted === 'same') {
    return {
      ...same,
      statement: 'The chart and the painting are taken to have the same exposure, as the pipeline says.',
    }
  }
  if (wanted === 'paper') {
    if (chart.source) return tieToPaper({ source: chart.source, label: chart.label, reading }, context)
    throw new RequestError({
      where: 'colour.exposure',
      what: 'paper cannot tie the exposures of a reading used again: the chart is not at hand',
      todo: 'Write exposure: metadata or same, or name the chart instead of the reading',
    })
  }
  const tied = tieByMetadata(chart, context.captures)
  if (tied || wanted === 'auto') return tied ?? same
  throw new RequestError({
    where: 'colour.exposure',
    what: 'not all files say their exposure',
    expected:
      'exposure time and sensitivity in the chart and in every capture, and an aperture in all or in none',
    todo: 'Write exposure: paper (the same blank paper beside the chart), or same',
  })
}
