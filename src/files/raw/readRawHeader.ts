import type { CaptureConditions } from '../../colour/exposure/CaptureConditions.js'
import type { FileHeader } from '../FileHeader.js'
import { withRaw } from './withRaw.js'

/**
 * Header of an undeveloped camera file.
 * @param bytes size of the file
 * @param said conditions that the file's own EXIF states, where it is a TIFF: they go before LibRaw's reading
 * @throws RequestError where LibRaw cannot read it
 */
export async function readRawHeader(
  path: string,
  bytes: number,
  said?: CaptureConditions,
): Promise<FileHeader> {
  return withRaw(path, undefined, (raw) => {
    const meta = raw.metadata(true)
    const [red, green, blue] = meta.color_data?.cam_mul ?? []
    const balanced = red > 0 && green > 0 && blue > 0
    const whiteBalance = balanced ? { red: red / green, blue: blue / green } : { red: 1, blue: 1 }
    const rows = (meta.color_data?.rgb_cam ?? []).slice(0, 3).map((row) => row.slice(0, 3))
    const toSrgb = rows.flat()
    const positive = (value: number | undefined) => (value && value > 0 ? value : undefined)
    const conditions: CaptureConditions = {
      device: [meta.camera_make, meta.camera_model].filter(Boolean).join(' ') || undefined,
      lens: meta.lens?.Lens || undefined,
      timeS: positive(meta.shutter),
      fNumber: positive(meta.aperture),
      iso: positive(meta.iso_speed),
      focalMm: positive(meta.focal_len),
      ...said,
      whiteBalance: balanced ? whiteBalance : undefined,
    }
    const known = toSrgb.length === 9 && toSrgb.some((value, i) => Math.abs(value - (i % 4 ? 0 : 1)) > 1e-6)
    return {
      ...{ path, format: 'raw', width: meta.width, height: meta.height, channels: 3, depth: 16 },
      ...{ orientation: 1, bytes, alpha: false },
      conditions: Object.fromEntries(Object.entries(conditions).filter(([, value]) => value !== undefined)),
      raw: { whiteBalance, ...(known && { toSrgb }) },
      notes: balanced ? [] : ['it says no white balance; its numbers are taken as they are'],
    }
  })
}
