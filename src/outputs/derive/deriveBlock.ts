import { captureSource } from '../../colour/captureSource.js'
import { rowEncoder } from '../../colour/encode/rowEncoder.js'
import { encodeTile } from '../../colour/encodeTile.js'
import type { InputTransform } from '../../colour/InputTransform.js'
import { rasterRows } from '../../colour/rasterRows.js'
import { holding, kernels } from '../../raster/kernels/kernels.js'
import { placed, tileSource } from '../../raster/placed.js'
import type { Raster } from '../../raster/Raster.js'
import type { Rect } from '../../raster/Rect.js'
import { resampleRows } from '../../raster/resample/resampleRows.js'
import { isCopy, resized } from '../../raster/resample/resized.js'
import { emptyTile, type Tile } from '../../raster/Tile.js'
import type { Derivation } from '../contract.js'
import { sharpened } from '../sharpening/sharpened.js'
import { widened } from './widened.js'

/** A region of a derivative, and the raster that takes it. */
export interface DerivedPart {
  request: Derivation
  rect: Rect
  target: Raster
}

type Decoding = InputTransform & { kind: 'matrix' }

/**
 * Regions of several derivatives that show the same place of the master: every row of it is decoded once for all.
 * @param master encoded numbers
 * @param transform what they mean
 */
export function deriveBlock(master: Raster, transform: Decoding, parts: readonly DerivedPart[]): void {
  const copies = parts.filter(({ request }) => isCopy(request.crop, request.width, request.height))
  for (const part of copies) deriveAlone(captureSource(master, transform), part)
  const resampled = parts.filter((part) => !copies.includes(part))
  if (resampled.length === 0) return
  const taken = resampled.map(takerOf)
  const asked = resampled.map(({ request: { crop, width, height } }, i) => ({
    ...{ crop, width, height, rect: taken[i].rect },
  }))
  const blocks = taken.flatMap((taker) => taker.blocks)
  holding(blocks, (...offsets) => {
    for (const taker of taken) taker.begin(offsets.splice(0, taker.blocks.length))
    resampleRows(rasterRows(master, transform), asked, (i, row, at, planeBytes) => {
      taken[i].row(row, at, planeBytes)
    })
  })
  for (const { end } of taken) end()
}

interface Taker {
  /** What of the derivative it takes: with the surroundings that sharpening looks at. */
  rect: Rect
  /** Kernel memory that it keeps meanwhile. */
  blocks: readonly number[]
  begin(blocks: readonly number[]): void
  row(row: number, at: number, planeBytes: number): void
  end(): void
}

function takerOf({ request, rect, target }: DerivedPart): Taker {
  const { sharpening, space } = request
  if (!sharpening) {
    const { blocks, begin, encode } = rowEncoder(space, rect.width)
    return {
      ...{ rect, blocks, begin },
      row(row, at, planeBytes) {
        const from = ((rect.y + row) * target.width + rect.x) * 3
        encode(at, planeBytes, rect.width, target.data, from)
      },
      end() {},
    }
  }
  const wide = widened(rect, [sharpening], request)
  const tile = emptyTile(wide)
  return {
    ...{ rect: wide, blocks: [], begin() {} },
    row(row, at, planeBytes) {
      keepRow(tile, row, at, planeBytes)
    },
    end() {
      const picture = placed(tileSource(tile), wide, request)
      encodeTile(sharpened(picture, sharpening).region(rect), space, target)
    },
  }
}

function keepRow({ rect: { width }, planes }: Tile, row: number, at: number, planeBytes: number): void {
  const { buffer } = kernels().memory
  planes.forEach((plane, c) => {
    plane.set(new Float32Array(buffer, at + c * planeBytes, width), row * width)
  })
}

function deriveAlone(source: ReturnType<typeof captureSource>, { request, rect, target }: DerivedPart): void {
  const { crop, width, height, sharpening, space } = request
  const picture = resized(source, crop, width, height)
  encodeTile((sharpening ? sharpened(picture, sharpening) : picture).region(rect), space, target)
}
