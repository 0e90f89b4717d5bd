import type { ZodType } from 'zod'
import type { DeviceColour } from '../colour/profiles/deviceMatrix.js'
import type { SpaceName } from '../colour/spaces/SpaceName.js'
import type { Finding } from '../findings.js'
import type { Raster } from '../raster/Raster.js'
import type { Rect } from '../raster/Rect.js'
import type { PdfDocument } from './PdfDocument.js'

/** What is known of the master before it exists (`check`) and after. */
export interface MasterInfo {
  width: number
  height: number
  ppi: number
  /** True where no file and no key said the ppi and a stated default stands in. */
  ppiAssumed: boolean
  space: SpaceName
  /** True where a step measures the captures' colour, so that a profile can be made of it. */
  colourMeasured?: boolean
  /** RMS of what is left of the paper's relief, as a share of the light; absent where no step measured it. */
  reliefLeft?: number
  /** Where the sheet is painted; absent where nobody has looked. */
  painted?: PaintedMap
  title: string
  credit: { creator: string; rights: string; contact: string; description?: string }
}

/** A coarse map of the master: cells in rows, each the share of it that is painted, 0..1. */
export interface PaintedMap {
  columns: number
  rows: number
  cells: number[]
}

/** A file an output will write. */
export interface PlannedFile {
  kind: string
  name: string
  /** Relative to the output folder. */
  path: string
  width: number
  height: number
  ppi: number
  widthMm: number
  heightMm: number
  /** Captured pixels per printed inch, before any interpolation. */
  effectivePpi: number
  space: SpaceName
  depth: 8 | 16
  /** Share of the master's area that a crop leaves out, 0..1; absent where it is all shown. */
  cutShare?: number
  /** Rough size on disk. */
  bytes: number
}

/** A file an output will write that is no picture. */
export interface PlannedDocument {
  kind: string
  name: string
  /** Relative to the output folder. */
  path: string
  /** Rough size on disk. */
  bytes: number
}

/** A request for derived pixels: a crop of the master, resized in linear light, sharpened, encoded. */
export interface Derivation {
  /** In master pixels, may be fractional; where it leaves the master, the master is taken as mirrored at its edge. */
  crop: Rect
  width: number
  height: number
  sharpening: Sharpening | null
  space: SpaceName
}

/** Luminance sharpening at the output raster: `value + amount * (value - gaussian(value, sigmaPx))`, limited (see sharpening/sharpened.ts). */
export interface Sharpening {
  sigmaPx: number
  amount: number
  /** Largest overshoot as a share of the local edge's height, 0..1. */
  limit: number
  /** Differences below this share of the local light are left alone; 0 where left out. */
  noiseFloor?: number
}

/** Pixels of a picture, upright. */
export interface PictureSize {
  width: number
  height: number
}

/** Sizes of the pictures that outputs place besides the master, by path. */
export type Beside = ReadonlyMap<string, PictureSize>

export interface RenderContext {
  master: MasterInfo
  beside: Beside
  /**
   * A picture besides the master, in a standard space; see-through parts show paper white.
   * @param largest reduced in linear light to fit this, in pixels, where it is larger
   */
  readPicture(path: string, largest: PictureSize, space: SpaceName): Promise<Raster>
  /** Pixels derived from the master over the worker pool. */
  derive(request: Derivation): Promise<Raster>
  /** Writes a picture, tagged, with resolution and the pipeline's credit. `path` is relative to the output folder. */
  writePicture(
    path: string,
    raster: Raster,
    options: {
      format: 'tif' | 'jpg' | 'png'
      depth: 8 | 16
      ppi: number
      space: SpaceName
      quality?: number
    },
  ): Promise<void>
  writePdf(path: string, document: PdfDocument): Promise<void>
  writeBytes(path: string, bytes: Uint8Array): Promise<void>
  /** What the captures' codes are as corrected light; undefined where no step has measured it. */
  deviceColour?: DeviceColour
  /** What only the finished file tells, besides the plan's findings. */
  say(finding: Finding): void
  progress(share: number): void
  checkCancelled(): void
}

/** What an output decided: sizes for `check`, lines for the ticket, findings for the report. */
export interface Plan {
  files: PlannedFile[]
  documents?: PlannedDocument[]
  /** Lines of the job ticket in Markdown: sheet, side, placement in mm, profile, intent, checks to make. */
  ticket: string[]
  findings: Finding[]
}

/** One kind of derivative. `plan` touches no pixel and throws RequestError for what cannot be made. */
export interface Output<Params = unknown> {
  kind: string
  summary: string
  /** Includes `name` (unique among outputs; the file's stem). */
  params: ZodType<Params>
  /** The files it will write, relative to the output folder: known before the master is. */
  paths(params: Params): string[]
  /** Pictures it places besides the master: the key of its params that names each, and where it is. */
  pictures?(params: Params): { key: string; path: string }[]
  /** @param beside the sizes of its `pictures`; without them what depends on their shape is not checked */
  plan(params: Params, master: MasterInfo, beside?: Beside): Plan
  /**
   * The pixels that `render` will ask for; its params have `sharpening` (see shared/params.ts). Absent where the output
   * is no picture.
   */
  derivation?(params: Params, master: MasterInfo): Derivation
  render(params: Params, context: RenderContext): Promise<void>
}
