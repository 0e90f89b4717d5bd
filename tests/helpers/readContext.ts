import { reduce } from '../../src/raster/reduce.js'
import type { Source } from '../../src/raster/Source.js'
import { emptyTile, type Tile } from '../../src/raster/Tile.js'
import type { CaptureInfo, ReadContext, Step } from '../../src/steps/contract.js'
import { stitch } from '../../src/steps/stitch/step.js'

/** What a test may say about the run its reading is taken in; everything has an ordinary default. */
export interface ReadContextOptions {
  /** Facts of the captures, one an index; `label` defaults to `capture-1`, `ppi` to the context's, `turned` to 0. */
  captures?: readonly Partial<CaptureInfo>[]
  kind?: ReadContext['kind']
  sheetSizeMm?: ReadContext['sheetSizeMm']
  ppi?: number
  /** The step whose `work` is done, stitch where nothing is said. */
  step?: Pick<Step, 'work'>
  /** Auxiliary captures and texts by the path a step asks for. */
  auxiliaryCaptures?: Readonly<Record<string, { source: Source; info?: Partial<CaptureInfo> }>>
  auxiliaryTexts?: Readonly<Record<string, string>>
  onProgress?(share: number): void
  /** Called by `checkCancelled`; throw from it to play the person who stops the run. */
  onCheck?(): void
}

/** A context that also counts the pixels it was asked for, so that tests can hold a reading's cost. */
export interface CountingReadContext extends ReadContext {
  readonly asked: { reducedViews: number; regionPixels: number }
}

/** Rows of a picture read at once for a reduced view. */
const BAND_PX = 512

/**
 * A reading's context without engine and workers: views and regions come straight from the sources.
 * @param sources the pictures the step would see, in the captures' order
 */
export function readContext(
  sources: readonly Source[],
  options: ReadContextOptions = {},
): CountingReadContext {
  const asked = { reducedViews: 0, regionPixels: 0 }
  const describe = (source: Source, label: string, facts?: Partial<CaptureInfo>): CaptureInfo => ({
    label,
    width: source.width,
    height: source.height,
    ppi: options.ppi,
    turned: 0,
    ...facts,
  })
  return {
    asked,
    captures: sources.map((source, i) => describe(source, `capture-${i + 1}`, options.captures?.[i])),
    kind: options.kind ?? 'flatbed',
    sheetSizeMm: options.sheetSizeMm,
    ppi: options.ppi,
    async reduced(index, factor) {
      asked.reducedViews++
      return reducedView(sources[index], factor)
    },
    async regions(index, rects) {
      for (const { width, height } of rects) asked.regionPixels += width * height
      return rects.map((rect) => sources[index].region(rect))
    },
    async work(tasks, onShare) {
      const { work } = options.step ?? stitch
      if (!work) throw new Error('the step of this test has no work')
      return tasks.map((task, i) => {
        const answer = work(sources, task)
        onShare?.((i + 1) / tasks.length)
        return answer
      })
    },
    async auxiliaryCapture(path) {
      const found = options.auxiliaryCaptures?.[path]
      if (!found) throw new Error(`the test holds no auxiliary capture ${path}`)
      return { source: found.source, info: describe(found.source, path, found.info) }
    },
    async auxiliaryText(path) {
      const text = options.auxiliaryTexts?.[path]
      if (text === undefined) throw new Error(`the test holds no text ${path}`)
      return text
    },
    progress: (share) => options.onProgress?.(share),
    checkCancelled: () => options.onCheck?.(),
  }
}

/** A source averaged over whole blocks, band by band; the last blocks of a row and of a column may be partial. */
function reducedView(source: Source, factor: number): Tile {
  const { width, height } = source
  const view = emptyTile({ x: 0, y: 0, width: Math.ceil(width / factor), height: Math.ceil(height / factor) })
  const step = Math.max(1, Math.round(BAND_PX / factor)) * factor
  for (let y = 0; y < height; y += step) {
    const band = source.region({ x: 0, y, width, height: Math.min(step, height - y) })
    const part = reduce(band, factor)
    part.planes.forEach((plane, c) => {
      view.planes[c].set(plane, (y / factor) * view.rect.width)
    })
  }
  return view
}

/** A whole tile as a source. */
export function tileSource(tile: Tile): Source {
  const { width, height } = tile.rect
  return {
    width,
    height,
    region(rect) {
      if (rect.x < 0 || rect.y < 0 || rect.x + rect.width > width || rect.y + rect.height > height) {
        throw new RangeError(
          `region ${rect.x},${rect.y} ${rect.width}x${rect.height} leaves the ${width}x${height} picture`,
        )
      }
      const out = emptyTile(rect)
      out.planes.forEach((plane, c) => {
        for (let j = 0; j < rect.height; j++) {
          const from = (rect.y + j) * width + rect.x
          plane.set(tile.planes[c].subarray(from, from + rect.width), j * rect.width)
        }
      })
      return out
    },
  }
}

/** A whole source as one tile. */
export const wholeTile = (source: Source): Tile =>
  source.region({ x: 0, y: 0, width: source.width, height: source.height })
