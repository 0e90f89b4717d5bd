import { captureSource } from '../../colour/captureSource.js'
import { encodeTile } from '../../colour/encodeTile.js'
import { spaceTransform } from '../../colour/spaceTransform.js'
import { widened } from '../../outputs/derive/widened.js'
import { sharpened } from '../../outputs/sharpening/sharpened.js'
import { placed, tileSource } from '../../raster/placed.js'
import type { Rect } from '../../raster/Rect.js'
import { neededOf } from '../../raster/resample/neededOf.js'
import { resized } from '../../raster/resample/resized.js'
import type { Tasks } from '../tasks.js'

/** Resamples one rectangle of a derivative and sharpens it each way; runs in a worker. */
export function renderVariants({
  part,
  master,
  request,
  sharpenings,
  rect,
  targets,
}: Tasks['variants']['ask']): void {
  const known = placed(captureSource(part.raster, spaceTransform(part.space)), part.place, master)
  const size = { width: request.width, height: request.height }
  const wide = widened(rect, sharpenings, size)
  const tile = resized(known, request.crop, size.width, size.height).region(wide)
  const picture = placed(tileSource(tile), wide, size)
  sharpenings.forEach((sharpening, i) => {
    const { planes } = (sharpening ? sharpened(picture, sharpening) : picture).region(rect)
    encodeTile({ rect: { ...rect, x: 0, y: 0 }, planes }, request.space, targets[i])
  })
}

/** What of the master `renderVariants` asks for. */
export function partFor(
  rect: Rect,
  { crop, width, height }: Tasks['variants']['ask']['request'],
  sharpenings: Tasks['variants']['ask']['sharpenings'],
  master: { width: number; height: number },
): Rect {
  return neededOf(master, crop, width, height, widened(rect, sharpenings, { width, height }))
}
