import { existsSync } from 'node:fs'
import { resolve } from 'node:path'
import { describe, expect, it } from 'vitest'
import { captureSource } from '../../../src/colour/captureSource.js'
import { spaceTransform } from '../../../src/colour/spaceTransform.js'
import { decodePicture } from '../../../src/files/decodePicture.js'
import { stitch } from '../../../src/steps/stitch/step.js'
import { readContext } from '../../helpers/readContext.js'

/**
 * Real captures: OpenCV's test data (opencv_extra, testdata/stitching), Apache-2.0. The newspaper's scans are rigid to
 * about 0.3 px (stated by who measured them for this folder).
 */
const FOLDER = resolve(import.meta.dirname, '../../../../shared/data/tiles')
const absent = !existsSync(FOLDER)
if (absent) console.log(`real tiles not tested: ${FOLDER} is not there`)

const read = (...labels: string[]) => readAs('flatbed', ...labels)

async function readAs(kind: 'flatbed' | 'camera', ...labels: string[]) {
  const sources = []
  for (const label of labels) {
    const { raster } = await decodePicture(resolve(FOLDER, `${label}.jpg`))
    sources.push(captureSource(raster, spaceTransform('sRGB')))
  }
  const context = readContext(sources, { captures: labels.map((label) => ({ label })), ppi: 300, kind })
  return stitch.read(sources, stitch.params.parse({}), context)
}

describe.skipIf(absent)('real tiles', () => {
  it('joins four scans of a newspaper, whose windows agree within 0.4 px', async () => {
    const reading = await read('newspaper3', 'newspaper1', 'newspaper4', 'newspaper2')
    expect(reading.misplacementRmsPx).toBeLessThan(0.4)
    expect(reading.windows).toBeGreaterThan(100)
    expect(reading.warnings).toEqual([])
    // A page of about 1790 x 1130 px, as the scans laid side by side say.
    expect(Math.abs(reading.width - 1790)).toBeLessThan(15)
    expect(Math.abs(reading.height - 1132)).toBeLessThan(15)
  })

  it('joins two captures of a map, about two degrees apart', async () => {
    const reading = await read('prague1', 'prague2')
    const [a, b] = reading.captures.map(({ placed }) => placed!.rotationDeg)
    expect(Math.abs(a - b)).toBeGreaterThan(1.5)
    expect(Math.abs(a - b)).toBeLessThan(2.5)
    expect(reading.misplacementRmsPx).toBeLessThan(0.4)
  })

  it('refuses two frames of a landscape, which is no flat sheet', async () => {
    await expect(read('not-flat-1', 'not-flat-2')).rejects.toThrow(/flat sheet|finds no place/)
  })

  it.each([
    ['not-flat-1', 'not-flat-2'],
    ['not-flat-2', 'not-flat-1'],
  ])('warns about them as a camera’s frames too, whose perspective can follow much: %s, %s', async (a, b) => {
    const warnings = await readAs('camera', a, b).then(
      (reading) => reading.warnings.join(),
      (error: Error) => error.message,
    )
    expect(warnings).toMatch(/flat sheet|finds no place/)
  })

  it('joins the map as a camera’s frames too, without doubts', async () => {
    const reading = await readAs('camera', 'prague1', 'prague2')
    expect(reading.misplacementRmsPx).toBeLessThan(0.4)
    expect(reading.warnings).toEqual([])
  })

  it('names a capture of another sheet', async () => {
    await expect(read('newspaper1', 'newspaper2', 'prague1')).rejects.toThrow('prague1 finds no place')
  })
})
