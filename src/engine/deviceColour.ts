import type { InputTransform } from '../colour/InputTransform.js'
import type { DeviceColour } from '../colour/profiles/deviceMatrix.js'
import { emptyRaster } from '../raster/Raster.js'
import { STEPS } from '../steps/registry.js'
import { buildChain } from './buildChain.js'
import type { ChainStage } from './Chain.js'
import { newChain } from './takeReadings.js'

/**
 * What a capture's codes are as light, corrected by those steps that look at a pixel's own colour alone.
 * @returns undefined where no step has measured the device's colour
 */
export function deviceColour(
  transform: InputTransform,
  stages: readonly ChainStage[],
): DeviceColour | undefined {
  const measured = stages.filter(({ name, params }) => STEPS.get(name)?.measuresDevice?.(params))
  if (measured.length === 0) return undefined
  return (codes) => {
    const raster = emptyRaster(codes.length / 3, 1)
    raster.data.set(codes)
    const [source] = buildChain(newChain([{ raster, transform }], measured))
    return source.region({ x: 0, y: 0, width: raster.width, height: 1 }).planes
  }
}
