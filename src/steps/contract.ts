import type { ZodType } from 'zod'
import type { CaptureConditions } from '../colour/exposure/CaptureConditions.js'
import type { Finding } from '../findings.js'
import type { Rect } from '../raster/Rect.js'
import type { Source } from '../raster/Source.js'
import type { Tile } from '../raster/Tile.js'

/** What is known of a capture besides its pixels. */
export interface CaptureInfo {
  /** Path as the pipeline file has it, for messages. */
  label: string
  width: number
  height: number
  /** Pixels per inch at capture, from the file or from `captures.ppi`; undefined where neither says. */
  ppi?: number
  /** Degrees the sheet lay turned, clockwise. */
  turned: 0 | 90 | 180 | 270
  /** Bits a channel in the file; undefined where nobody looked. */
  depth?: number
  /**
   * Row-major 3x3, from the device's own linear channels to the working space; undefined where its profile works by a
   * table, or nobody asked (it is known of auxiliary captures).
   */
  deviceToWorking?: number[]
  /** How it was taken, where its file says. */
  conditions?: CaptureConditions
  /** What its numbers were taken to mean: a profile's description. */
  profile?: string
}

/** A surface known to be neutral, as an earlier step measured it in the captures' light. */
export interface Neutral {
  label: string
  /** Linear, working space. */
  linear: [number, number, number]
}

/** A file a step reads besides the captures: a board, a chart, a reference, a saved reading. */
export interface Auxiliary {
  /** The key inside the step's params that names it, for messages: `board`. */
  key: string
  /** Absolute path. */
  path: string
  /** `capture` is decoded like a capture and passes the earlier per-capture steps; `text` is read as UTF-8. */
  kind: 'capture' | 'text'
}

/** What a step may use while it takes its reading. Everything heavy goes over the worker pool. */
export interface ReadContext {
  captures: readonly CaptureInfo[]
  /** Shared facts of the pipeline. `sheetSizeMm` from `captures.size`. */
  kind: 'flatbed' | 'camera'
  sheetSizeMm?: { width?: number; height?: number }
  /** Resolution of what the step sees: captured ppi, or the stitched picture's. Undefined where unknown. */
  ppi?: number
  /** A neutral surface in the captures' light, where an earlier step measured one: a blank board. */
  neutral?: Neutral
  /** RMS of the sheet's relief that an earlier step left, as a share of the light; undefined where none lessened it. */
  reliefLeft?: number
  /**
   * A view of `sources[index]` averaged over whole blocks of `factor` x `factor` pixels (a partial last block is
   * averaged over what it has): `ceil(width / factor)` by `ceil(height / factor)`. A full pass over the picture: ask
   * once, and prefer `regions`.
   */
  reduced(index: number, factor: number): Promise<Tile>
  /** Regions of `sources[index]` at full resolution, in the order asked. */
  regions(index: number, rects: readonly Rect[]): Promise<Tile[]>
  /**
   * The step's own `work`, for each of some tasks, over the pool; answers in the order asked. Tasks and answers are copied,
   * but for typed arrays on shared memory.
   * @param onShare hears the share of them that is done
   */
  work(tasks: readonly unknown[], onShare?: (share: number) => void): Promise<unknown[]>
  /** An auxiliary capture as this step may see it: decoded, and through the per-capture steps before this one. */
  auxiliaryCapture(path: string): Promise<{ source: Source; info: CaptureInfo }>
  auxiliaryText(path: string): Promise<string>
  /** Share done of this reading, 0..1. */
  progress(share: number): void
  /** Throws Interrupted when the person has stopped the run; call it in long loops. */
  checkCancelled(): void
}

/**
 * One step from captures to master: take a reading, then apply it to any region.
 * `Reading` is plain JSON (typed arrays are not), small, and everything `apply` needs besides the params.
 */
export interface Step<Params = unknown, Reading = unknown> {
  name: string
  /** One line for `--help`, the README's table and the report. */
  summary: string
  /** `capture`: same number of sources out as in. `join`: many in, one out. `picture`: one in, one out. */
  scope: 'capture' | 'join' | 'picture'
  /** Everything has a default, so that `{}` is valid wherever no file is needed. */
  params: ZodType<Params>
  /** Files named in the params. Paths arrive absolute. */
  auxiliaries?(params: Params): Auxiliary[]
  /** Measures; changes nothing. Throws WorkError or RequestError with what, expected, found, what to do. */
  read(sources: readonly Source[], params: Params, context: ReadContext): Promise<Reading>
  /** A part of `read` that runs inside a worker, on what `read` sees: pure, no I/O. See `ReadContext.work`. */
  work?(sources: readonly Source[], task: unknown): unknown
  /** Pure, no I/O, runs inside a worker. Called once a chain, so tables may be built here. */
  apply(sources: readonly Source[], reading: Reading, params: Params): Source[]
  findings(reading: Reading, params: Params): Finding[]
  /**
   * True where the step measures the device's colour and changes each pixel by its own colour alone: what it does can
   * be taken along as a profile.
   */
  measuresDevice?(params: Params): boolean
  /**
   * What the step costs on one ordinary core, for the estimate of `check`: seconds for its reading, for each capture in
   * it, and a megapixel of the master for applying it.
   */
  effort?: { read: number; readACapture?: number; apply: number }
  /** A neutral surface the step measured in the captures' light, for the steps after it. */
  neutral?(reading: Reading): Neutral | undefined
  /** RMS of the sheet's relief after the step, as a share of the light; undefined where it did not lessen it everywhere. */
  reliefLeft?(reading: Reading, params: Params): number | undefined
  /** Why the step cannot be applied to an auxiliary capture of a later step and leaves it as it is; undefined where it can. */
  unsuited?(reading: Reading, capture: Pick<CaptureInfo, 'width' | 'height'>): string | undefined
  /**
   * Where the step changes the resolution or fixes it (stitch): the resulting ppi. Absent means unchanged.
   */
  ppi?(reading: Reading, ppi: number | undefined): number | undefined
}
