import { describe, expect, it } from 'vitest'
import { capture } from '../../demo-data/capture.js'
import { contrastKept, psnrSrgb, reliefLeftDb } from '../../demo-data/measure.js'
import type { Probe } from '../../demo-data/Painting.js'
import { paint } from '../../demo-data/paint.js'
import { seeded } from '../../demo-data/painter/seeded.js'
import { captureSource } from '../../src/colour/captureSource.js'
import { spaceTransform } from '../../src/colour/spaceTransform.js'
import type { Source } from '../../src/raster/Source.js'
import type { Tile } from '../../src/raster/Tile.js'
import { asPlaneMap } from '../../src/raster/warp/PlaneMap.js'
import { warpTile } from '../../src/raster/warp/warpTile.js'
import { stitch } from '../../src/steps/stitch/step.js'
import { readContext, tileSource, wholeTile } from '../helpers/readContext.js'
import { haveReal } from './realRun.js'
import { relit, SLOPES } from './relit.js'

const SIZE = { width: 900, height: 620 }
const INSET_PX = 60

/** Noise as the painter's captures have it (see demo-data/device/exposed.ts). */
function noisy(tile: Tile, seed: number): Tile {
  const random = seeded(seed, 3)
  for (const plane of tile.planes) {
    for (let i = 0; i < plane.length; i++) {
      plane[i] += 0.002 * Math.sqrt(0.3 + (0.7 * plane[i]) / 0.18) * random.normal()
    }
  }
  return tile
}

describe.skipIf(!haveReal('A real rough sheet', SLOPES))('a real rough sheet, relit from two sides', () => {
  it('goes, as it is asked of a turned pair', async () => {
    const painting = paint({ seed: 8, ...SIZE, ppi: 300, sheet: 'smooth' })
    const { raster } = capture(painting, {
      ...{ lampFromDeg: 0, lampHeightDeg: 45, falloff: 0, device: 'truth', blurPx: 0.5, turned: 0, seed: 1 },
      ...{ noise: 0, gain: 0.8, reliefDepth: 0 },
    })
    const truth = wholeTile(captureSource(raster, spaceTransform('sRGB')))
    const first = tileSource(noisy(await relit(truth, 0), 1))
    // Turned on disk, askew by 0.4 degrees, a little smaller.
    const [c, s] = [Math.cos(Math.PI + 0.007), Math.sin(Math.PI + 0.007)]
    const [width, height] = [SIZE.width - 22, SIZE.height - 18]
    const [x, y] = [(width - 1) / 2, (height - 1) / 2]
    const [middleX, middleY] = [SIZE.width / 2 + 0.3, SIZE.height / 2 - 0.4]
    const map = asPlaneMap([c, -s, middleX - c * x + s * y, s, c, middleY - s * x - c * y])
    const lit = tileSource(await relit(truth, 180))
    const second = tileSource(noisy(warpTile(lit, map, { x: 0, y: 0, width, height }), 2))
    const pair = [first, second]
    const params = stitch.params.parse({})
    const context = readContext(pair, { captures: [{ turned: 0 }, { turned: 180 }], ppi: 300 })
    const reading = await stitch.read(pair, params, context)
    // Paper of slopes alone has no highlights, and none are seen.
    expect(reading.combining!.model!.glints).toBeUndefined()
    const { toSheet } = reading.captures[0].placed!
    const inner = {
      ...{ x: INSET_PX, y: INSET_PX },
      ...{ width: SIZE.width - 2 * INSET_PX, height: SIZE.height - 2 * INSET_PX },
    }
    const rect = { ...inner, x: 0, y: 0 }
    const seen = (source: Source): Tile => ({ rect, planes: warpTile(source, toSheet, inner).planes })
    const single = {
      ...{ ...reading, combining: undefined, layers: [reading.layers[0]] },
      captures: reading.captures.map((one) => ({
        ...one,
        placed: { toSheet, rotationDeg: 0, gain: [1, 1, 1] as [number, number, number] },
      })),
    }
    const want = seen(stitch.apply([tileSource(truth), second], single, params)[0])
    const before = seen(stitch.apply(pair, single, params)[0])
    const both = seen(stitch.apply(pair, reading, params)[0])
    const sum = (plane: Float32Array) => plane.reduce((total, value) => total + value, 0)
    const planes = both.planes.map((plane, k) => {
      const factor = sum(want.planes[k]) / sum(plane)
      return plane.map((value) => value * factor)
    }) as Tile['planes']
    const result = { rect, planes }
    const blank = new Uint8Array(inner.width * inner.height)
    for (let j = 0; j < inner.height; j++) {
      const from = (inner.y + j) * SIZE.width + inner.x
      blank.set(painting.blank.subarray(from, from + inner.width), j * inner.width)
    }
    const moved = ([u, v]: [number, number]): [number, number] => [u - INSET_PX, v - INSET_PX]
    const probes: Probe[] = painting.probes.map(({ kind, pairs }) => ({
      kind,
      pairs: pairs.map(({ on, beside }) => ({ on: moved(on), beside: moved(beside) })),
    }))
    expect(psnrSrgb(want, result) - psnrSrgb(want, before)).toBeGreaterThan(18)
    expect(reliefLeftDb(want, before, result, blank)).toBeLessThan(-24)
    expect(contrastKept(want, result, probes, 'pencil')).toBeGreaterThan(0.98)
    expect(contrastKept(want, result, probes, 'stroke')).toBeGreaterThan(0.99)
  })
})
