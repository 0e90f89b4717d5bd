import { execFileSync } from 'node:child_process'
import { existsSync } from 'node:fs'
import { mkdir, readFile, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join, resolve } from 'node:path'
import sharp from 'sharp'
import { capture } from '../../demo-data/capture.js'
import { paint } from '../../demo-data/paint.js'
import { seeded } from '../../demo-data/painter/seeded.js'
import { profileBytes } from '../../src/colour/profiles/profileBytes.js'
import { writePicture } from '../../src/files/writePicture.js'
import type { RunRecord } from '../../src/runRecord.js'
import { row } from './row.js'

const CLI = resolve(import.meta.dirname, '../../dist/src/cli.js')
const TILE = { width: 4000, height: 3000 }
const COLUMNS = 4
const ROWS = 2
const OVERLAP = 0.15
/** Tile pixels a painting pixel: the painter paints a smaller sheet. */
const ENLARGED = 4

/** Each time is the best of so many, taken by turns: other work on the machine then falls on all alike. */
const ROUNDS = 2

/** Joining 8 tiles of 12 megapixels against only reading them and writing a result of the same size; and 4 against 8. */
export async function stitchSpeed(): Promise<void> {
  const folder = join(tmpdir(), 'finetooth-bench', 'eight-tiles')
  const paths = await eightTiles(folder)
  const left = paths.filter((_, i) => i % COLUMNS < COLUMNS / 2)
  const [halves, wholes, floors]: [Run[], Run[], number[]] = [[], [], []]
  for (let round = 0; round < ROUNDS; round++) {
    halves.push(await run(folder, 'four', left))
    wholes.push(await run(folder, 'eight', paths))
    const { width, height } = wholes[0]
    floors.push(await ioFloor(paths, join(folder, 'floor.tif'), width, height))
  }
  const [half, whole] = [halves, wholes].map((runs) => runs.reduce((a, b) => (b.seconds < a.seconds ? b : a)))
  const floor = Math.min(...floors)
  row('read 8 tiles of 12 Mpx, write the result', `${floor.toFixed(2)} s`, 'the floor')
  const ratio = whole.seconds / floor
  row('joining them, whole run', `${ratio.toFixed(2)} x the floor`, 'at most 2.5', ratio <= 2.5)
  for (const { stage, seconds } of whole.timings) {
    row(`  ${stage}`, `${(seconds / floor).toFixed(2)} x the floor`, `${seconds.toFixed(2)} s`)
  }
  const growth = whole.seconds / half.seconds
  row('8 tiles against 4', `${growth.toFixed(2)} x the time`, 'linear: 2 x', growth <= 2.3)
}

interface Run {
  seconds: number
  timings: RunRecord['timings']
  width: number
  height: number
}

async function eightTiles(folder: string): Promise<string[]> {
  await mkdir(folder, { recursive: true })
  const paths = Array.from({ length: COLUMNS * ROWS }, (_, i) => join(folder, `tile-${i + 1}.tif`))
  if (paths.every((path) => existsSync(path))) return paths
  const [stepX, stepY] = [TILE.width * (1 - OVERLAP), TILE.height * (1 - OVERLAP)]
  const margin = 200
  const [width, height] = [
    Math.ceil((stepX * (COLUMNS - 1) + TILE.width + 2 * margin) / ENLARGED),
    Math.ceil((stepY * (ROWS - 1) + TILE.height + 2 * margin) / ENLARGED),
  ]
  const painting = paint({ seed: 80, width, height, ppi: 150, sheet: 'tooth' })
  const random = seeded(80, 1)
  for (const [i, path] of paths.entries()) {
    const [middleX, middleY] = [
      (margin + stepX * (i % COLUMNS) + TILE.width / 2) / ENLARGED,
      (margin + stepY * Math.floor(i / COLUMNS) + TILE.height / 2) / ENLARGED,
    ]
    const { raster } = capture(painting, {
      ...{ lampFromDeg: 0, lampHeightDeg: 45, reliefDepth: 1, falloff: 0.03, device: 'truth', noise: 0.002 },
      ...{ blurPx: 0.4, turned: 0, seed: 80 + i, gain: 0.9 + random.between(-0.03, 0.03) },
      crop: {
        ...TILE,
        x: middleX - TILE.width / 2,
        y: middleY - TILE.height / 2,
        rotationDeg: random.between(-1, 1),
        pixelsAPixel: 1 / ENLARGED,
      },
    })
    await writePicture(path, raster, { format: 'tif', depth: 16, ppi: 600, profile: profileBytes('sRGB') })
  }
  return paths
}

/** Seconds of a whole run of stitch alone on some tiles. */
async function run(folder: string, name: string, paths: readonly string[]): Promise<Run> {
  const pipeline = join(folder, `${name}.yaml`)
  const out = join(folder, `${name}-out`)
  await writeFile(
    pipeline,
    `pipeline: 1\ntitle: Bench\ncaptures: { kind: flatbed, files: ${JSON.stringify(paths)} }\nsteps: [stitch]\n`,
  )
  const started = performance.now()
  execFileSync(process.execPath, [CLI, 'run', pipeline, '--out', out, '--overwrite', '--quiet'], {
    stdio: 'inherit',
  })
  const seconds = (performance.now() - started) / 1000
  const record: RunRecord = JSON.parse(await readFile(join(out, 'run.json'), 'utf8'))
  const { width, height } = record.readings.stitch as { width: number; height: number }
  await rm(out, { recursive: true })
  return { seconds, timings: record.timings, width, height }
}

/** Only decoding all tiles with sharp and writing an uncompressed picture of the result's size. */
async function ioFloor(
  paths: readonly string[],
  target: string,
  width: number,
  height: number,
): Promise<number> {
  sharp.cache(false)
  const started = performance.now()
  for (const path of paths) {
    await sharp(path, { limitInputPixels: false, ignoreIcc: true })
      .toColourspace('rgb16')
      .raw({ depth: 'ushort' })
      .toBuffer()
  }
  await sharp(new Uint16Array(width * height * 3), {
    raw: { width, height, channels: 3 },
    limitInputPixels: false,
  })
    .toColourspace('rgb16')
    .tiff({ compression: 'none' })
    .toFile(target)
  const seconds = (performance.now() - started) / 1000
  await rm(target)
  return seconds
}
