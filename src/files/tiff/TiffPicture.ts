/** How the first picture of a TIFF lies in the file; names follow TIFF 6.0. */
export interface TiffPicture {
  littleEndian: boolean
  /** As stored, before the orientation. */
  width: number
  height: number
  bits: number
  samples: number
  photometric: number
  compression: number
  /** True where each channel has strips of its own (PlanarConfiguration 2). */
  separate: boolean
  tiled: boolean
  rowsPerStrip: number
  /** First byte and length of every strip or tile. */
  offsets: number[]
  byteCounts: number[]
  /** ExtraSamples: 0 unspecified, 1 associated alpha, 2 unassociated alpha. */
  extraSamples: number[]
}
