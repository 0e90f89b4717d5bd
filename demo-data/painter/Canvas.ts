import type { Random } from './seeded.js'
import type { Noise } from './smoothNoise.js'

/** A point of the picture as shares of its width and height. */
export type Place = readonly [u: number, v: number]

/** A mark whose contrast can be measured, as the painter remembers it; places in pixels. */
export interface Mark {
  kind: 'pencil' | 'stroke'
  pairs: { on: [number, number]; beside: [number, number] }[]
  /** Luminance of the ground without the mark, at `on` and at `beside`, once known. */
  ground: [number, number][]
}

/** The sheet while it is painted on. */
export interface Canvas {
  width: number
  height: number
  pxPerMm: number
  seed: number
  /** One plane of amounts a pigment, in the order of PIGMENTS. */
  amounts: Float32Array[]
  /** The sheet's surface, mean 0, in the depth of an ordinary tooth (its deviation is 1): what catches brush and pencil. */
  grain: Float32Array
  /** 1 where masking fluid keeps the paper free, 0 elsewhere. */
  reserve: Float32Array
  random: Random
  /** Three unrelated noises of several octaves, features about one unit. */
  noises: [Noise, Noise, Noise]
  marks: Mark[]
}
