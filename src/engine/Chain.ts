import type { InputTransform } from '../colour/InputTransform.js'
import type { Raster } from '../raster/Raster.js'

/** A capture as workers get it: pixels on shared memory and how its numbers become linear light. */
export interface ChainCapture {
  raster: Raster
  transform: InputTransform
}

/** One step with everything `apply` needs. Plain JSON. */
export interface ChainStage {
  name: string
  params: unknown
  reading: unknown
}

/**
 * From captures to a picture, as plain data that crosses to a worker by reference. `id` names the content: two chains
 * with one id are the same chain, so a worker builds each only once.
 */
export interface Chain {
  id: string
  captures: ChainCapture[]
  stages: ChainStage[]
}
