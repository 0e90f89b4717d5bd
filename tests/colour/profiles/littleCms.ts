import { instantiate } from 'lcms-wasm'
import type { Vector3 } from '../../../src/colour/matrix3.js'

const RGB_16 = (4 << 16) | (3 << 3) | 2
const GRAY_16 = (3 << 16) | (1 << 3) | 2
const LAB_FLOAT = (1 << 22) | (10 << 16) | (3 << 3) | 4

/**
 * CIELAB of 16-bit codes by Little CMS itself: media-relative colorimetric, nothing optimised.
 * @param codes interleaved, three a pixel (the first is taken where the profile is grey)
 */
export async function littleCmsLab(
  profile: Uint8Array,
  codes: Uint16Array,
  channels = 3,
): Promise<Vector3[]> {
  const lcms = await instantiate()
  const address = lcms._malloc(profile.length)
  lcms.HEAPU8.set(profile, address)
  const input = lcms._cmsOpenProfileFromMem(address, profile.length)
  if (!input) throw new Error('Little CMS does not read the profile')
  const transform = lcms.cmsCreateTransform(
    input,
    channels === 3 ? RGB_16 : GRAY_16,
    lcms.cmsCreateLab4Profile(),
    LAB_FLOAT,
    1,
    0x100,
  )
  if (!transform) throw new Error('Little CMS makes no transform of the profile')
  const pixels = codes.length / 3
  const lab = lcms.cmsDoTransform(
    transform,
    channels === 3 ? codes : codes.filter((_, i) => i % 3 === 0),
    pixels,
  )
  return Array.from({ length: pixels }, (_, i) => [lab[3 * i], lab[3 * i + 1], lab[3 * i + 2]])
}

/** A profile's own name as Little CMS reads it. */
export async function littleCmsDescription(profile: Uint8Array): Promise<string> {
  const lcms = await instantiate()
  const input = lcms.cmsOpenProfileFromMem(profile, profile.length)
  return lcms.cmsGetProfileInfoASCII(input, 0, 'en', 'US').split('\0')[0]
}
