/** The part of LibRaw's interface that is used here, called directly: the package's own types are of its browser front. */
declare module 'libraw-wasm/dist/libraw.js' {
  export interface RawMetadata {
    width: number
    height: number
    camera_make: string
    camera_model: string
    /** 0 where the file does not say. */
    iso_speed: number
    shutter: number
    aperture: number
    focal_len: number
    lens?: { Lens: string }
    color_data?: {
      /** As-shot multipliers of red, green, blue, second green; zeros or negative where the file does not say. */
      cam_mul: number[]
      /** From white-balanced camera numbers to linear sRGB, three rows of four. */
      rgb_cam: number[][]
    }
    colors: number
  }

  export interface LibRaw {
    /** Throws what is no Error where the file cannot be read. */
    open(bytes: Uint8Array, settings?: Record<string, unknown>): void
    metadata(full: boolean): RawMetadata
    imageData():
      | { width: number; height: number; colors: number; bits: number; data: Uint16Array }
      | undefined
    delete(): void
  }

  export default function create(options: {
    wasmBinary: Uint8Array
    print(text: string): void
    printErr(text: string): void
  }): Promise<{ LibRaw: new () => LibRaw }>
}
