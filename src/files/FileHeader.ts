import type { CaptureConditions } from '../colour/exposure/CaptureConditions.js'
import type { RawColour } from './raw/RawColour.js'

/** What a picture file says of itself, pixels aside. */
export interface FileHeader {
  /** Path as it was asked for, for messages. */
  path: string
  format: 'tif' | 'png' | 'jpg' | 'raw'
  /** Pixels, after the file's orientation is applied. */
  width: number
  height: number
  /** Channels stored in the file, any alpha or extra channel counted; a palette counts as 3. */
  channels: number
  /** Bits a sample really in the file: 8 (also for 2 and 4 bits and palettes) or 16. */
  depth: 8 | 16
  /** Pixels per inch; undefined where the file is silent, has no unit, or holds a stand-in (see `plausiblePpi`). */
  ppi?: number
  /** EXIF orientation 1 to 8 as stored; 1 where none is. `width`, `height` and decoded pixels are upright already. */
  orientation: number
  /** The embedded ICC profile, byte for byte. */
  profile?: Uint8Array
  /** Device, exposure and light, where the file says any of them. */
  conditions?: CaptureConditions
  /** Of an undeveloped camera file: what its numbers mean. */
  raw?: RawColour
  /** Size of the file. */
  bytes: number
  /** True where the file has a channel, or a palette entry, for transparency; it may be opaque everywhere. */
  alpha: boolean
  /** Facts the person should hear: a stand-in resolution ignored, more pictures in the file than the first. */
  notes: string[]
}
