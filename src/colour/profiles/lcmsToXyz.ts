import { instantiate, type Lcms } from 'lcms-wasm'
import { type Profile, unfitProfile } from './readProfile.js'

/** Little CMS's pixel formats: float32 samples, not interleaved with anything else (lcms2.h, TYPE_RGB_FLT and others). */
const format = (colourSpace: number, channels: number) =>
  (1 << 22) | (colourSpace << 16) | (channels << 3) | 4
const FORMATS = { GRAY: format(3, 1), 'RGB ': format(4, 3), XYZ: format(9, 3) }
const RELATIVE_COLORIMETRIC = 1
/** Every stage as the profile has it, no resampled table in between. */
const NO_OPTIMIZE = 0x100

let loading: Promise<Lcms> | undefined

/**
 * Runs encoded colours through a profile by Little CMS, media-relative colorimetric.
 * @param use is handed a function from encoded colours (0..1, interleaved, as many a pixel as the profile has channels) to
 * XYZ under D50, Y = 1 for the medium's white
 * @throws RequestError where Little CMS refuses the profile
 */
export async function lcmsToXyz<T>(
  { bytes, label, colourSpace }: Profile,
  use: (toXyz: (encoded: Float32Array) => Float32Array) => T,
): Promise<T> {
  const lcms = await (loading ??= instantiate())
  const channels = colourSpace === 'GRAY' ? 1 : 3
  // Through allocated memory and not as an argument: that would go over the stack, which large profiles overflow.
  const address = lcms._malloc(bytes.length)
  lcms.HEAPU8.set(bytes, address)
  const profile = lcms._cmsOpenProfileFromMem(address, bytes.length)
  lcms._free(address)
  const xyz = lcms.cmsCreateXYZProfile()
  try {
    const transform =
      profile &&
      lcms.cmsCreateTransform(
        profile,
        FORMATS[colourSpace as 'GRAY' | 'RGB '],
        xyz,
        FORMATS.XYZ,
        RELATIVE_COLORIMETRIC,
        NO_OPTIMIZE,
      )
    if (!transform) throw unfitProfile(label, "the ICC profile's tables cannot be used; it may be damaged")
    try {
      return use((encoded) => lcms.cmsDoTransform(transform, encoded, encoded.length / channels))
    } finally {
      lcms.cmsDeleteTransform(transform)
    }
  } finally {
    lcms.cmsCloseProfile(xyz)
    if (profile) lcms.cmsCloseProfile(profile)
  }
}
