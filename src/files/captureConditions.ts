import type { CaptureConditions } from '../colour/exposure/CaptureConditions.js'
import { directoryAt, type ReadBytes, type TiffDirectory } from './tiff/readDirectory.js'

/** EXIF's LightSource (tag 37384), Exif 2.3 table 4.6.5: what says nothing (0 unknown, 255 other) is left out. */
const LIGHTS: Record<number, string> = {
  1: 'daylight',
  2: 'fluorescent',
  3: 'tungsten',
  4: 'flash',
  9: 'fine weather',
  10: 'cloudy weather',
  11: 'shade',
  12: 'daylight fluorescent',
  13: 'day white fluorescent',
  14: 'cool white fluorescent',
  15: 'white fluorescent',
  16: 'warm white fluorescent',
  17: 'standard light A',
  18: 'standard light B',
  19: 'standard light C',
  20: 'D55',
  21: 'D65',
  22: 'D75',
  23: 'D50',
  24: 'studio tungsten',
}

/**
 * How a capture was taken: maker and model, and what the EXIF directory says of exposure, lens and light.
 * @param directory the first one of a TIFF or an EXIF block
 * @param read gives bytes counted from the same start
 * @returns undefined where nothing is said; what makes no sense is left out, never a reason to refuse a picture
 * Source: Exif 2.3 (CIPA DC-008-2012), 4.6.4 and 4.6.5; TIFF/EP uses the same tags.
 */
export async function captureConditions(
  directory: TiffDirectory | undefined,
  read: ReadBytes,
): Promise<CaptureConditions | undefined> {
  if (!directory) return undefined
  const pointer = directory.fields.get(34665)?.values[0]
  const exif = pointer ? await directoryAt(read, pointer, directory).catch(() => undefined) : undefined
  const field = (tag: number) => exif?.fields.get(tag) ?? directory.fields.get(tag)
  const positive = (tag: number) => {
    const value = field(tag)?.values[0]
    return value !== undefined && Number.isFinite(value) && value > 0 ? value : undefined
  }
  const text = (tag: number) => {
    const bytes = field(tag)?.bytes ?? new Uint8Array(0)
    return new TextDecoder('latin1').decode(bytes).split('\0')[0].trim() || undefined
  }
  const [maker, model] = [text(271), text(272)]
  const conditions: CaptureConditions = {
    // Many models repeat their maker.
    device: model && maker && !model.startsWith(maker) ? `${maker} ${model}` : (model ?? maker),
    lens: text(42036),
    timeS: positive(33434),
    fNumber: positive(33437),
    iso: positive(34855),
    focalMm: positive(37386),
    light: LIGHTS[field(37384)?.values[0] ?? 0],
  }
  const said = Object.fromEntries(Object.entries(conditions).filter(([, value]) => value !== undefined))
  return Object.keys(said).length > 0 ? said : undefined
}
