import { mkdir, readFile, writeFile } from 'node:fs/promises'
import { join, resolve } from 'node:path'
import type { SpaceName } from '../src/colour/spaces/SpaceName.js'
import { toPicture8 } from '../src/colour/toPicture8.js'
import { decodePicture } from '../src/files/decodePicture.js'
import { encodeJpeg } from '../src/files/encodeJpeg.js'
import type { Picture8 } from '../src/findings.js'
import type { Rect } from '../src/raster/Rect.js'
import { resized } from '../src/raster/resample/resized.js'
import type { Tile } from '../src/raster/Tile.js'
import type { RunRecord } from '../src/runRecord.js'
import { asCaptured } from './demo/asCaptured.js'
import { paintedScene } from './demo/paintedScene.js'
import { placeOfMaster } from './demo/placeOfMaster.js'
import { viewed } from './demo/viewed.js'
import { inverted } from './geometry/inverted.js'
import type { Transform } from './Transform.js'

/** Width of the pictures, and where the detail at 100 % lies on the painting: a boat, pencil, granulated mud. */
const WIDTH_PX = 800
const DETAIL: Rect = { x: 640, y: 960, width: 400, height: 440 }
const INSET_PX = 24

/**
 * Writes the README's pictures from the last demo's run: the sheet as captured, the master, and both at 100 %.
 * Run it after `npm run demo`.
 */
async function makePictures(): Promise<void> {
  const run = resolve('demo-out/harbour-out')
  const record = JSON.parse(await readFile(join(run, 'run.json'), 'utf8')) as RunRecord
  const master = record.outputs.find(({ kind }) => kind === 'master')!
  const { raster } = await decodePicture(join(run, master.path))
  const { painting, tiles } = paintedScene({ width: 3000, height: 2000 })
  const stitch = record.readings.stitch as { captures: { placed: { toSheet: Transform } }[] }
  const { transform } = placeOfMaster(
    tiles,
    stitch.captures.map(({ placed }) => placed.toSheet),
  )
  const fromPainting = inverted(transform)
  const sheet = { x: INSET_PX, y: INSET_PX, width: 3000 - 2 * INSET_PX, height: 2000 - 2 * INSET_PX }
  const before = asCaptured(tiles, painting, sheet)
  const after = viewed(raster, master.space as SpaceName, fromPainting, sheet)
  const folder = resolve('demo-data/pictures')
  await mkdir(folder, { recursive: true })
  const write = async (name: string, picture: Picture8, quality: number) =>
    writeFile(join(folder, name), await encodeJpeg(picture, quality))
  await write('captured.jpg', toPicture8(atWidth(before)), 84)
  await write('master.jpg', toPicture8(atWidth(after)), 84)
  await write('detail.jpg', toPicture8(besideEachOther(cut(before), cut(after))), 84)
}

function atWidth(tile: Tile): Tile {
  const { width, height } = tile.rect
  const whole = { x: 0, y: 0, width, height }
  const source = { width, height, region: (rect: Rect) => part(tile, rect) }
  const target = { ...whole, width: WIDTH_PX, height: Math.round((WIDTH_PX * height) / width) }
  return resized(source, whole, target.width, target.height).region(target)
}

function part({ rect: { width }, planes }: Tile, rect: Rect): Tile {
  const cutPlane = (plane: Float32Array) => {
    const out = new Float32Array(rect.width * rect.height)
    for (let y = 0; y < rect.height; y++) {
      const from = (rect.y + y) * width + rect.x
      out.set(plane.subarray(from, from + rect.width), y * rect.width)
    }
    return out
  }
  return { rect, planes: planes.map(cutPlane) as Tile['planes'] }
}

const cut = (tile: Tile) => part(tile, { ...DETAIL, x: DETAIL.x - INSET_PX, y: DETAIL.y - INSET_PX })

function besideEachOther(left: Tile, right: Tile): Tile {
  const { width, height } = left.rect
  const planes = left.planes.map((plane, c) => {
    const out = new Float32Array(2 * width * height)
    for (let y = 0; y < height; y++) {
      out.set(plane.subarray(y * width, (y + 1) * width), 2 * y * width)
      out.set(right.planes[c].subarray(y * width, (y + 1) * width), (2 * y + 1) * width)
    }
    return out
  }) as Tile['planes']
  return { rect: { x: 0, y: 0, width: 2 * width, height }, planes }
}

await makePictures()
