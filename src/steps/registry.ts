import { colour } from './colour/step.js'
import type { Step } from './contract.js'
import { flatField } from './flat-field/step.js'
import { hue } from './hue/step.js'
import { paperTexture } from './paper-texture/step.js'
import { paperWhite } from './paper-white/step.js'
import { stitch } from './stitch/step.js'

/** Every step by name. Adding a step: its folder, its tests' folder, one line here. */
export const STEPS: ReadonlyMap<string, Step> = new Map<string, Step>([
  [flatField.name, flatField as Step],
  [colour.name, colour as Step],
  [hue.name, hue as Step],
  [paperTexture.name, paperTexture as Step],
  [paperWhite.name, paperWhite as Step],
  [stitch.name, stitch as Step],
])
