/**
 * A whole picture as it is on disk: interleaved RGB, 16 bits a sample, row by row, on shared memory so that workers
 * see it without copying. Values are encoded as the file has them (8-bit files times 257).
 */
export interface Raster {
  width: number
  height: number
  /** `width * height * 3` samples over a SharedArrayBuffer. */
  data: Uint16Array<SharedArrayBuffer>
}

/** A raster of zeros on shared memory. */
export function emptyRaster(width: number, height: number): Raster {
  return { width, height, data: new Uint16Array(new SharedArrayBuffer(width * height * 6)) }
}
