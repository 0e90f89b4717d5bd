import { DISPLAY_P3 } from './displayP3.js'
import { OPRGB } from './oprgb.js'
import { ROMM_RGB } from './romm.js'
import type { Space } from './SpaceFacts.js'
import type { SpaceName } from './SpaceName.js'
import { SRGB } from './srgb.js'

export type { Space } from './SpaceFacts.js'

const SPACES: Record<SpaceName, Space> = {
  sRGB: SRGB,
  'Display P3': DISPLAY_P3,
  opRGB: OPRGB,
  'ROMM RGB': ROMM_RGB,
}

/** A standard space by its name. */
export function space(name: SpaceName): Space {
  return SPACES[name]
}
