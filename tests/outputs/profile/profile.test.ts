import { readFile, writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { chartCapture } from '../../../demo-data/chartCapture.js'
import { captureSource } from '../../../src/colour/captureSource.js'
import { deltaE2000 } from '../../../src/colour/deltaE2000.js'
import { xyzD50ToLab } from '../../../src/colour/lab.js'
import { apply3, type Vector3 } from '../../../src/colour/matrix3.js'
import type { DeviceColour } from '../../../src/colour/profiles/deviceMatrix.js'
import { inputProfileBytes } from '../../../src/colour/profiles/inputProfileBytes.js'
import { profileBytes } from '../../../src/colour/profiles/profileBytes.js'
import { spaceTransform } from '../../../src/colour/spaceTransform.js'
import { WORKING_TO_XYZ_D50 } from '../../../src/colour/working.js'
import { runPipeline } from '../../../src/engine/runPipeline.js'
import { RequestError } from '../../../src/errors.js'
import { decodePicture } from '../../../src/files/decodePicture.js'
import { writePicture } from '../../../src/files/writePicture.js'
import { profile } from '../../../src/outputs/profile/profile.js'
import { loadPipeline } from '../../../src/pipeline/loadPipeline.js'
import { emptyRaster } from '../../../src/raster/Raster.js'
import { correctedSource } from '../../../src/steps/colour/correctedSource.js'
import type { ChartReading } from '../../../src/steps/colour/Reading.js'
import { colour } from '../../../src/steps/colour/step.js'
import { littleCmsDescription, littleCmsLab } from '../../colour/profiles/littleCms.js'
import { readContext } from '../../helpers/readContext.js'
import { temporaryFolder } from '../../helpers/temporaryFolder.js'
import { keepingContext, masterInfo } from '../derived.js'

const shown = { width: 480, height: 360, share: 0.8, rotationDeg: 10, perspective: 0, seed: 3 }
const lit = { lampFromDeg: 300, falloff: 0.05, noise: 0.003, blurPx: 0.6 }
const sRGB = spaceTransform('sRGB')

async function deviceColourOf(fit: string, device: 'scanner' | 'camera') {
  const { raster } = chartCapture({ ...shown, ...lit, device })
  const deviceToWorking = sRGB.kind === 'matrix' ? sRGB.matrix : undefined
  const auxiliaryCaptures = { chart: { source: captureSource(raster, sRGB), info: { deviceToWorking } } }
  const params = colour.params.parse({ chart: 'chart', fit })
  const reading = (await colour.read([], params, readContext([], { auxiliaryCaptures }))) as ChartReading
  const colourOf: DeviceColour = (codes) => {
    const one = emptyRaster(codes.length / 3, 1)
    one.data.set(codes)
    const { width } = one
    const source = correctedSource(captureSource(one, sRGB), reading.fit)
    return source.region({ x: 0, y: 0, width, height: 1 }).planes
  }
  return { colourOf, raster }
}

/** Differences between Little CMS and our own pixels, sorted; colours of the working space a profile can hold. */
async function differences(bytes: Uint8Array, colourOf: DeviceColour, codes: Uint16Array): Promise<number[]> {
  const planes = colourOf(codes)
  const theirs = await littleCmsLab(bytes, codes)
  return theirs
    .flatMap((lab, i) => {
      const linear = planes.map((plane) => plane[i]) as Vector3
      const own = apply3(WORKING_TO_XYZ_D50, linear)
      return linear.every((v) => v >= 0) && own.every((v) => v < 1.99)
        ? [deltaE2000(lab, xyzD50ToLab(own))]
        : []
    })
    .sort((a, b) => a - b)
}

describe.each(['scanner', 'camera'] as const)('a profile of the %s as measured', (device) => {
  it.each(['matrix', 'root-polynomial', 'root-polynomial-3'])(
    '%s: Little CMS agrees with our pixels within 0.3 dE2000 at the 95th percentile',
    async (fit) => {
      const { colourOf, raster } = await deviceColourOf(fit, device)
      const { bytes, kind } = inputProfileBytes(colourOf, 'Harbour, as measured')
      expect(kind).toBe(fit.startsWith('root') ? 'table' : 'matrix')
      expect(await littleCmsDescription(bytes)).toBe('Harbour, as measured')
      // All over the device's cube, and what was captured.
      let state = 21
      const spread = Uint16Array.from({ length: 15000 }, () => {
        state = (Math.imul(state, 1664525) + 1013904223) >>> 0
        return state >>> 16
      })
      const captured = raster.data.filter((_, i) => Math.floor(i / 3) % 41 === 0)
      // The painter's camera tags its own primaries as sRGB, so that half of the cube is light nobody sees.
      const sets = [
        [spread, 0.3],
        [captured, 0.99],
      ] as const
      for (const [codes, least] of sets) {
        const errors = await differences(bytes, colourOf, codes)
        expect(errors.length).toBeGreaterThan(least * (codes.length / 3))
        expect(errors[Math.floor(0.95 * errors.length)]).toBeLessThan(0.3)
      }
      // ICC.1:2022, 7.2: an input profile of version 4.4, RGB to XYZ, its length in the first four bytes.
      const text = (at: number) => String.fromCharCode(...bytes.subarray(at, at + 4))
      expect([text(12), text(16), text(20), text(36)]).toEqual(['scnr', 'RGB ', 'XYZ ', 'acsp'])
      expect([bytes[8], bytes[9] >> 4]).toEqual([4, 4])
      expect(new DataView(bytes.buffer).getUint32(0)).toBe(bytes.length)
    },
  )
})

describe('the output profile', () => {
  it('refuses where nothing measures colour, and plans one file where something does', () => {
    const params = profile.params.parse({})
    expect(() => profile.plan(params, masterInfo(100, 80))).toThrow(RequestError)
    const { documents, files, ticket } = profile.plan(params, masterInfo(100, 80, { colourMeasured: true }))
    expect(files).toEqual([])
    expect(documents).toMatchObject([{ kind: 'profile', path: 'session.icc' }])
    expect(profile.paths(params)).toEqual(['session.icc'])
    expect(ticket.join()).toContain('Assign')
  })

  it.each(['../x.icc', 'a/b.icc', 'x.tif', '.icc', ''])('takes no file called "%s"', (file) => {
    expect(profile.params.safeParse({ file }).success).toBe(false)
  })

  it('says how well another reader agrees, once the file is made', async () => {
    const { colourOf } = await deviceColourOf('root-polynomial', 'camera')
    const kept = keepingContext(captureSource(emptyRaster(4, 4), sRGB), masterInfo(4, 4))
    await profile.render(profile.params.parse({ file: 'a.icc' }), { ...kept.context, deviceColour: colourOf })
    expect(kept.bytes.map(({ path }) => path)).toEqual(['a.icc'])
    expect(kept.said.slice(0, 2)).toMatchObject([
      { kind: 'statement' },
      { kind: 'number', unit: 'dE2000', pass: true, target: '<= 0.3' },
    ])
  })

  it('a run with the profile instead of the chart gives the same picture', async () => {
    const folder = await temporaryFolder()
    const { raster } = chartCapture({ ...shown, ...lit, device: 'camera' })
    const tagged = { format: 'tif' as const, depth: 16 as const, ppi: 300, profile: profileBytes('sRGB') }
    const metadata = { title: '', creator: '', rights: '', contact: '' }
    await writePicture(join(folder, 'chart.tif'), raster, { ...tagged, metadata })
    const run = async (name: string, lines: string[]) => {
      const path = join(folder, `${name}.yaml`)
      const head = [
        'pipeline: 1',
        'title: Harbour at low tide',
        'master: { space: ROMM RGB }',
        'report: false',
      ]
      await writeFile(path, [...head, ...lines, ''].join('\n'))
      const outFolder = join(folder, name)
      const signal = new AbortController().signal
      const pipeline = await loadPipeline(path)
      const record = await runPipeline(pipeline, {
        ...{ outFolder, overwrite: false, threads: 1, signal, onEvent: () => {} },
      })
      return { record, master: (await decodePicture(join(outFolder, 'master.tif'))).raster }
    }
    const measured = await run('measured', [
      'captures: { kind: camera, files: [chart.tif] }',
      'steps: [ colour: { chart: chart.tif } ]',
      'outputs: [ profile: { file: session.icc } ]',
    ])
    const made = measured.record.outputs.find(({ kind }) => kind === 'profile')
    expect(made).toMatchObject({ name: 'profile', path: 'session.icc', width: null, space: null })
    expect((await readFile(join(folder, 'measured', 'session.icc'))).length).toBeGreaterThan(1000)
    expect(measured.record.measurements.map(({ step }) => step)).toContain('profile')
    const assigned = await run('assigned', [
      'captures: { kind: camera, files: [chart.tif], profile: measured/session.icc }',
      'steps: []',
      'outputs: []',
    ])
    const planes = [measured, assigned].map(
      ({ master }) =>
        captureSource(master, spaceTransform('ROMM RGB')).region({ x: 0, y: 0, width: 480, height: 360 })
          .planes,
    )
    const errors = Array.from({ length: 4000 }, (_, i) => {
      const [one, two] = planes.map((three) =>
        xyzD50ToLab(apply3(WORKING_TO_XYZ_D50, three.map((plane) => plane[i * 43]) as Vector3)),
      )
      return deltaE2000(one, two)
    }).sort((a, b) => a - b)
    expect(errors[3800]).toBeLessThan(0.3)
  })
})
