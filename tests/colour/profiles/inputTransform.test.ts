import { existsSync, readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { captureSource } from '../../../src/colour/captureSource.js'
import { deltaE2000 } from '../../../src/colour/deltaE2000.js'
import type { InputTransform } from '../../../src/colour/InputTransform.js'
import { labToXyzD50, xyzD50ToLab } from '../../../src/colour/lab.js'
import { apply3, type Vector3 } from '../../../src/colour/matrix3.js'
import { inputTransform } from '../../../src/colour/profiles/inputTransform.js'
import { space } from '../../../src/colour/spaces/space.js'
import { WORKING_TO_XYZ_D50 } from '../../../src/colour/working.js'
import { RequestError } from '../../../src/errors.js'
import { emptyRaster } from '../../../src/raster/Raster.js'
import { littleCmsDescription, littleCmsLab } from './littleCms.js'
import {
  curvElement,
  mft2Element,
  type ProfileRequest,
  paraElement,
  profileOf,
  xyzElement,
} from './syntheticProfile.js'

const PROFILES = new URL('../../../../shared/data/profiles/', import.meta.url)
const there = existsSync(PROFILES)
const real = (name: string) => new Uint8Array(readFileSync(new URL(name, PROFILES)))

/** 5,000 seeded colours, greys and the cube's corners. */
const pixels = 5000
const raster = emptyRaster(pixels, 1)
let state = 21
for (let i = 0; i < pixels * 3; i++) {
  state = (Math.imul(state, 1664525) + 1013904223) >>> 0
  const pixel = Math.floor(i / 3)
  if (pixel < 8) raster.data[i] = (pixel >> (i % 3)) & 1 ? 65535 : 0
  else if (pixel < 1000) raster.data[i] = Math.floor((pixel * 65535) / 999)
  else raster.data[i] = state >>> 16
}

function xyzOf(transform: InputTransform): Vector3[] {
  const { planes } = captureSource(raster, transform).region({ x: 0, y: 0, width: pixels, height: 1 })
  return Array.from({ length: pixels }, (_, i) =>
    apply3(WORKING_TO_XYZ_D50, planes.map((plane) => plane[i]) as Vector3),
  )
}

async function largestXyzDifference(profile: Uint8Array, channels = 3): Promise<number> {
  const { transform } = await inputTransform(profile, 'test.icc')
  expect(transform.kind).toBe('matrix')
  const ours = xyzOf(transform)
  const theirs = (await littleCmsLab(profile, raster.data, channels)).map(labToXyzD50)
  let worst = 0
  for (let i = 0; i < pixels; i++) {
    // A grey profile has one channel; ours is asked with three, which are alike in a grey capture.
    if (channels === 1 && new Set(raster.data.subarray(3 * i, 3 * i + 3)).size > 1) continue
    for (let c = 0; c < 3; c++) worst = Math.max(worst, Math.abs(ours[i][c] - theirs[i][c]))
  }
  return worst
}

async function tableError(profile: Uint8Array): Promise<{ mean: number; max: number }> {
  const { transform } = await inputTransform(profile, 'test.icc')
  expect(transform.kind).toBe('grid')
  const theirs = await littleCmsLab(profile, raster.data)
  const differences = xyzOf(transform).map((xyz, i) => deltaE2000(xyzD50ToLab(xyz), theirs[i]))
  return { mean: differences.reduce((a, b) => a + b) / pixels, max: Math.max(...differences) }
}

const P3 = { rXYZ: [0.5151, 0.2412, -0.0011], gXYZ: [0.292, 0.6922, 0.0419], bXYZ: [0.1571, 0.0666, 0.7841] }
const matrixTags = (trc: Uint8Array, green = trc, blue = trc) => ({
  ...Object.fromEntries(Object.entries(P3).map(([tag, values]) => [tag, xyzElement(values)])),
  rTRC: trc,
  gTRC: green,
  bTRC: blue,
})
const wave = Array.from({ length: 257 }, (_, i) =>
  Math.round(65535 * ((i / 256) ** 2 * 0.9 + (0.1 * i) / 256)),
)

describe('matrix profiles agree with Little CMS to 1e-4', () => {
  it.each<[string, ProfileRequest]>([
    ['identity curves', { tags: matrixTags(curvElement([])) }],
    ['a gamma', { tags: matrixTags(curvElement([Math.round(2.2 * 256)])) }],
    [
      'three tables',
      { tags: matrixTags(curvElement(wave), curvElement([0, 65535]), curvElement([0, 9000, 65535])) },
    ],
    [
      'a v4 display profile, para 0',
      { version: 4, deviceClass: 'mntr', tags: matrixTags(paraElement(0, [1.8])) },
    ],
    ['para 1', { version: 4, tags: matrixTags(paraElement(1, [2.2, 0.9, 0.1])) }],
    ['para 2', { version: 4, tags: matrixTags(paraElement(2, [2.2, 0.85, 0.1, 0.05])) }],
    [
      'para 3',
      { version: 4, tags: matrixTags(paraElement(3, [2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045])) },
    ],
    ['para 4', { version: 4, tags: matrixTags(paraElement(4, [2.4, 0.94, 0.05, 0.08, 0.04, 0.01, 0.004])) }],
  ])('%s', async (_name, request) => {
    expect(await largestXyzDifference(profileOf(request))).toBeLessThan(1e-4)
  })

  it.skipIf(!there).each(['display-p3-v4', 'romm-v4', 'oprgb-compat-v4', 'rec2020-v4', 'lcms-test5'])(
    'the real profile %s (skipped where ../shared/data is absent)',
    async (name) => {
      const profile = real(`${name}.icc`)
      expect(await largestXyzDifference(profile)).toBeLessThan(1e-4)
      const { description } = await inputTransform(profile, name)
      expect(description).toBe(await littleCmsDescription(profile))
    },
  )
})

describe('grey profiles agree with Little CMS', () => {
  it.each(['XYZ ', 'Lab '])('connected by %s', async (connectionSpace) => {
    const tags = { kTRC: curvElement([Math.round(1.8 * 256)]) }
    const profile = profileOf({ colourSpace: 'GRAY', connectionSpace, tags })
    expect(await largestXyzDifference(profile, 1)).toBeLessThan(1e-4)
  })
})

/** A device with a curve and cross-talk between its channels, in Lab words of lut16Type (L* 100 = FF00h). */
function deviceLab(encoded: readonly number[], gamma: number): number[] {
  const light = encoded.map((value) => value ** gamma)
  const mixed = light.map(
    (value, c) => 0.84 * value + 0.09 * (light[(c + 1) % 3] + light[(c + 2) % 3]) ** 1.1 * 0.95,
  )
  const [l, a, b] = xyzD50ToLab(apply3(space('opRGB').toXyzD50, mixed as Vector3))
  return [(l * 65280) / 100, (a + 128) * 256, (b + 128) * 256].map((word) =>
    Math.min(65535, Math.max(0, Math.round(word))),
  )
}
const straight = [0, 65535]
const tableProfile = (size: number, gamma: number, version: 2 | 4 = 2) =>
  profileOf({
    version,
    connectionSpace: 'Lab ',
    tags: {
      A2B0: mft2Element([straight, straight, straight], size, (...at) =>
        deviceLab(
          at.map((i) => i / (size - 1)),
          gamma,
        ),
      ),
    },
  })

describe('table profiles agree with Little CMS to 0.1 dE2000 in the mean', () => {
  it.each([
    ['17 nodes, gamma 2.2', tableProfile(17, 2.2)],
    ['33 nodes, gamma 1.8', tableProfile(33, 1.8)],
    ['9 nodes, linear', tableProfile(9, 1)],
    ['in version 4, which keeps the old Lab words in lut16Type', tableProfile(17, 2.2, 4)],
  ])('%s', async (_name, profile) => {
    const { mean, max } = await tableError(profile)
    expect(mean).toBeLessThanOrEqual(0.1)
    expect(max).toBeLessThan(2)
  })

  it.skipIf(!there)('the real profile lcms-test3 (skipped where ../shared/data is absent)', async () => {
    const { mean } = await tableError(real('lcms-test3.icc'))
    expect(mean).toBeLessThanOrEqual(0.1)
  })

  it('a table comes before a matrix in the same profile', async () => {
    const tags = {
      ...matrixTags(curvElement([])),
      A2B0: mft2Element([straight, straight, straight], 2, () => [65280, 32768, 32768]),
    }
    const { transform } = await inputTransform(profileOf({ connectionSpace: 'Lab ', tags }), 'test.icc')
    expect(transform.kind).toBe('grid')
  })
})

describe('numbers without a profile', () => {
  it('linear ones are taken as they are', async () => {
    const { transform, description } = await inputTransform('linear', 'x.tif')
    expect(description).toBe('linear numbers, taken as they are')
    const { planes } = captureSource(raster, transform).region({ x: 8, y: 0, width: 100, height: 1 })
    planes.forEach((plane, c) => {
      plane.forEach((value, i) => {
        expect(value).toBe(Math.fround(raster.data[3 * (8 + i) + c] / 65535))
      })
    })
  })

  it('a space’s name is that space', async () => {
    const { description } = await inputTransform('opRGB', 'x.tif')
    expect(description).toBe('opRGB')
  })
})

describe('what cannot be used is refused in words', () => {
  const good = profileOf({ tags: matrixTags(curvElement([])) })
  const changed = (change: (bytes: Uint8Array, view: DataView) => void, from = good) => {
    const bytes = from.slice()
    change(bytes, new DataView(bytes.buffer))
    return bytes
  }
  const put = (text: string, at: number) =>
    changed((bytes) =>
      bytes.set(
        Uint8Array.from(text, (character) => character.charCodeAt(0)),
        at,
      ),
    )
  const noColorant = Object.fromEntries(
    Object.entries(matrixTags(curvElement([]))).filter(([tag]) => tag !== 'rXYZ'),
  )

  it.each<[string, Uint8Array, RegExp]>([
    ['nothing', new Uint8Array(0), /too short \(expected at least 132 bytes, found 0\)/],
    ['128 bytes', good.slice(0, 128), /too short/],
    ['no signature', put('xxxx', 36), /no ICC profile \(expected "acsp" at byte 36, found "xxxx"\)/],
    ['cut in the middle', good.slice(0, good.length - 40), /cut short \(expected \d+ bytes .* found \d+\)/],
    ['a device link', put('link', 12), /describes no device .* found a device link/],
    ['an abstract profile', put('abst', 12), /found an abstract profile/],
    ['a class nobody knows', put('what', 12), /class "what"/],
    ['CMYK', put('CMYK', 16), /not for captures .* found one for CMYK/],
    ['Lab', put('Lab ', 16), /not for captures .* found one for Lab/],
    ['an odd connection space', put('HSV ', 20), /connection space .*"HSV "/],
    ['version 5', changed((bytes) => bytes.set([5], 8)), /version .* found 5/],
    ['a tag outside', changed((_, view) => view.setUint32(128 + 8, 99999)), /"desc" lies outside it/],
    ['ten thousand tags', changed((_, view) => view.setUint32(128, 10000)), /damaged .*10000 tags/],
    ['no colorant', profileOf({ tags: noColorant }), /lacks a usable "rXYZ"/],
    [
      'no curve',
      profileOf({ tags: { ...matrixTags(curvElement([])), gTRC: xyzElement([0, 0, 0]) } }),
      /"gTRC" is no tone curve .*"XYZ "/,
    ],
    [
      'half a curve',
      profileOf({ tags: { ...matrixTags(curvElement([])), gTRC: curvElement(wave).slice(0, 100) } }),
      /"gTRC" is damaged .*257 entries/,
    ],
    [
      'a curve of an unknown type',
      profileOf({ version: 4, tags: matrixTags(paraElement(9, [1])) }),
      /function type 0 to 4/,
    ],
    [
      'a curve short of parameters',
      profileOf({ version: 4, tags: matrixTags(paraElement(4, [1, 2])) }),
      /7 parameters/,
    ],
    [
      'a grey profile without a curve',
      profileOf({ colourSpace: 'GRAY', tags: {} }),
      /lacks its tone curve "kTRC"/,
    ],
    [
      'tables that are none',
      profileOf({
        connectionSpace: 'Lab ',
        tags: { A2B0: mft2Element([straight, straight, straight], 2, () => [0, 0, 0]).slice(0, 60) },
      }),
      /tables cannot be used/,
    ],
  ])('%s', async (_name, profile, words) => {
    const failed = await inputTransform(profile, 'scanner.icc').then(
      () => undefined,
      (error) => error,
    )
    expect(failed).toBeInstanceOf(RequestError)
    expect(failed.message).toMatch(words)
    expect(failed.message).toMatch(/^scanner\.icc: .*Give an ICC profile of the capturing device/)
  })

  it.skipIf(!there).each(['bad', 'toosmall', 'press-cmyk-fogra39l', 'lut-cmyk-test1'])(
    'the real file %s (skipped where ../shared/data is absent)',
    async (name) => {
      await expect(inputTransform(real(`${name}.icc`), `${name}.icc`)).rejects.toBeInstanceOf(RequestError)
    },
  )

  it('and damage anywhere never crashes, nor makes a white of thousands: every third byte changed in turn', async () => {
    const profile = profileOf({ version: 4, tags: matrixTags(paraElement(3, [2.4, 0.9, 0.1, 0.08, 0.04])) })
    const strange: string[] = []
    for (let i = 0; i < profile.length; i += 3) {
      const result = await inputTransform(
        changed((bytes) => bytes.set([bytes[i] ^ 0xff], i), profile),
        'x',
      ).catch((error) => error)
      if (result instanceof Error) {
        expect(result).toBeInstanceOf(RequestError)
        if (/makes of white/.test(result.message)) strange.push(result.message)
      } else {
        const { matrix, curves } = result.transform
        const white = [0, 1, 2].map((r) =>
          curves.reduce(
            (sum: number, curve: Float32Array, c: number) => sum + matrix[3 * r + c] * curve[65535],
            0,
          ),
        )
        for (const value of white) expect(Math.abs(value)).toBeLessThan(200)
      }
    }
    expect(strange.length).toBeGreaterThan(0)
  })
})
