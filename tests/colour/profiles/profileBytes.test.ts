import { describe, expect, it } from 'vitest'
import { labToXyzD50 } from '../../../src/colour/lab.js'
import { apply3, type Vector3 } from '../../../src/colour/matrix3.js'
import { inputTransform } from '../../../src/colour/profiles/inputTransform.js'
import { profileBytes } from '../../../src/colour/profiles/profileBytes.js'
import { SPACE_NAMES } from '../../../src/colour/spaces/SpaceName.js'
import { space } from '../../../src/colour/spaces/space.js'
import { spaceTransform } from '../../../src/colour/spaceTransform.js'
import { littleCmsDescription, littleCmsLab } from './littleCms.js'

const codes = Uint16Array.from({ length: 3000 }, (_, i) => (i * 40503) % 65536)

describe.each(SPACE_NAMES)('our profile of %s', (name) => {
  it('is read by Little CMS as the standard has it, within the profile’s 16 fractional bits', async () => {
    const lab = await littleCmsLab(profileBytes(name), codes)
    lab.map(labToXyzD50).forEach((theirs, i) => {
      const linear = [0, 1, 2].map((c) => space(name).decode(codes[3 * i + c] / 65535)) as Vector3
      apply3(space(name).toXyzD50, linear).forEach((value, c) => {
        expect(Math.abs(value - theirs[c])).toBeLessThan(1e-4)
      })
    })
    expect(await littleCmsDescription(profileBytes(name))).toBe(name)
  })

  it('keeps greys grey to 0.001 in a* and b*', async () => {
    const greys = Uint16Array.from({ length: 300 }, (_, i) => Math.floor(i / 3) * 661)
    for (const [, a, b] of await littleCmsLab(profileBytes(name), greys)) {
      expect(Math.abs(a)).toBeLessThan(1e-3)
      expect(Math.abs(b)).toBeLessThan(1e-3)
    }
  })

  it('comes back through our own reader', async () => {
    const { transform, description } = await inputTransform(profileBytes(name), 'own.icc')
    const direct = spaceTransform(name)
    expect(description).toBe(name)
    if (transform.kind !== 'matrix' || direct.kind !== 'matrix') throw new Error('no matrix')
    transform.matrix.forEach((value, i) => {
      expect(Math.abs(value - direct.matrix[i])).toBeLessThan(5e-5)
    })
    for (let code = 0; code < 65536; code += 7) {
      expect(Math.abs(transform.curves[1][code] - direct.curves[1][code])).toBeLessThan(3e-5)
    }
  })

  it('is the same bytes every time', () => expect(profileBytes(name)).toEqual(profileBytes(name)))
})
