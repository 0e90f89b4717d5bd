import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { decodePicture } from '../../src/files/decodePicture.js'
import type { Raster } from '../../src/raster/Raster.js'
import { haveReal, measured, real, runReal } from './realRun.js'

/**
 * Hand-painted watercolour washes on grained paper, scanned, 1024 x 1024, sRGB tagged.
 * stamen/watercolor at 3bd3352 (assets/textures/watercolor), ISC.
 */
const WASH = 'washes/gray_03.jpg'
/**
 * A botanical watercolour of about 1900 with pencil notes, the whole sheet on a dark scanner bed, about 450 x 675.
 * United States Department of Agriculture, public domain, through gadenbuie/ggpomological at 69f3815 (pom-examples).
 */
const SHEET = 'sheets/POM00001016.jpeg'

const job = (
  file: string,
  ppi: number,
) => `captures: { kind: flatbed, ppi: ${ppi}, files: [${JSON.stringify(real(file))}] }
steps: [paper-texture, paper-white]
master: { space: sRGB }
outputs:
  - print: { name: same-size, image: original-size }
`

describe.skipIf(!haveReal('A wash on grained paper', WASH))('a real wash on grained paper', () => {
  it('loses relief where it is even and keeps its tone where it is painted', async () => {
    const { out, record } = await runReal(job(WASH, 300))
    const [master, print] = record.outputs
    expect(master).toMatchObject({ width: 1024, height: 1024, ppi: 300, space: 'sRGB', depth: 16 })
    expect(print).toMatchObject({ width: 1024, height: 1024 })
    expect(measured(record, 'paper-texture', 'relief')).toBeGreaterThan(0.5)
    expect(measured(record, 'paper-texture', 'relief left on blank paper')).toBeLessThan(-6)
    const before = (await decodePicture(real(WASH))).raster
    const after = (await decodePicture(join(out, master.path))).raster
    expect(grainOfCalmest(after)).toBeLessThan(0.7 * grainOfCalmest(before))
    // Paint stays paint: the darkest tenth is moved by the white point alone, by a few per cent.
    const [dark, kept] = [before, after].map(darkestTenth)
    expect(kept / dark).toBeGreaterThan(0.85)
    expect(kept / dark).toBeLessThan(1.4)
  })
})

describe.skipIf(!haveReal('A botanical sheet', SHEET))('a real sheet with pencil notes', () => {
  it('gets white paper, and says that so few pixels print softly', async () => {
    const { out, record, report } = await runReal(job(SHEET, 60))
    const [master] = record.outputs
    const before = (await decodePicture(real(SHEET))).raster
    const after = (await decodePicture(join(out, master.path))).raster
    expect(after).toMatchObject({ width: before.width, height: before.height })
    expect(measured(record, 'paper-white', 'paper L*')).toBeGreaterThan(80)
    expect(measured(record, 'paper-white', 'unpainted')).toBeGreaterThan(10)
    // The sheet of 1900 is yellow; unpainted paper becomes no ink.
    expect(whiteShare(before)).toBeLessThan(0.01)
    expect(whiteShare(after)).toBeGreaterThan(0.1)
    expect(record.warnings).toContainEqual({
      step: 'same-size',
      message: expect.stringMatching(/60 captured pixels a printed inch will look soft/),
    })
    expect(report).toContain('will look soft')
  })
})

/** Side of a block in pixels. */
const BLOCK = 32

/** Mean step from pixel to pixel in the calmest tenth of all blocks, which is grain and nothing painted. */
function grainOfCalmest({ data, width, height }: Raster): number {
  const steps: number[] = []
  for (let y = 0; y + BLOCK < height; y += BLOCK) {
    for (let x = 0; x + BLOCK < width; x += BLOCK) {
      let sum = 0
      for (let j = 0; j < BLOCK; j++) {
        for (let i = 0; i < BLOCK; i++) {
          const at = 3 * ((y + j) * width + x + i) + 1
          sum += Math.abs(data[at] - data[at + 3])
        }
      }
      steps.push(sum)
    }
  }
  const calm = steps.sort((a, b) => a - b).slice(0, Math.ceil(steps.length / 10))
  return calm.reduce((sum, one) => sum + one, 0) / calm.length
}

/** Mean green level of the darkest tenth of the picture, 0..1. */
function darkestTenth({ data }: Raster): number {
  const greens = data.filter((_, i) => i % 3 === 1).sort()
  const dark = greens.subarray(0, Math.ceil(greens.length / 10))
  return dark.reduce((sum, one) => sum + one, 0) / dark.length / 65535
}

/** Share of pixels lighter than 99.5 % in every channel. */
function whiteShare({ data }: Raster): number {
  let white = 0
  for (let i = 0; i < data.length; i += 3) {
    if (Math.min(data[i], data[i + 1], data[i + 2]) > 0.995 * 65535) white++
  }
  return white / (data.length / 3)
}
