import { mkdir, writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { profileBytes } from '../../src/colour/profiles/profileBytes.js'
import { writePicture } from '../../src/files/writePicture.js'
import type { Raster } from '../../src/raster/Raster.js'
import { blankBoard } from '../blankBoard.js'
import { chartCapture } from '../chartCapture.js'
import { type CutTile, cutUp } from '../cutUp.js'
import type { CaptureRequest, Painting } from '../Painting.js'
import { paint } from '../paint.js'
import { chartReferenceText } from './chartReferenceText.js'
import { pipelineText } from './pipelineText.js'

export interface Scene {
  pipelineFile: string
  painting: Painting
  tiles: CutTile[]
}

const PPI = 300
const TURNED_TILE = 3
/** A flatbed whose lamp passes at the top, brighter there than at the foot. */
const LIGHT: Omit<CaptureRequest, 'turned' | 'seed'> = {
  lampFromDeg: 10,
  lampHeightDeg: 42,
  reliefDepth: 1.1,
  falloff: 0.16,
  device: 'scanner',
  noise: 0.0035,
  blurPx: 0.6,
}

/**
 * Paints the scene and captures it: four tiles, a blank board, a chart with its measured values, and the pipeline file.
 * @param folder is made where it is missing; captures of an earlier demo are written over
 */
export async function writeScene(folder: string, size: { width: number; height: number }): Promise<Scene> {
  const captures = join(folder, 'captures')
  await mkdir(captures, { recursive: true })
  const profile = profileBytes('sRGB')
  const write = (name: string, raster: Raster) =>
    writePicture(join(captures, name), raster, { format: 'tif', depth: 16, ppi: PPI, profile })
  const painting = paint({ seed: 7, ...size, ppi: PPI, sheet: 'tooth' })
  const tiles = cutUp(painting, {
    ...{ ...LIGHT, columns: 2, rows: 2, overlap: 0.2, rotationDeg: 0.35, jitterPx: 4 },
    ...{ turnedTiles: [TURNED_TILE], gainSpread: 0.015, seed: 1 },
  })
  for (const [i, { raster }] of tiles.entries()) await write(`tile-${i + 1}.tif`, raster)
  const { width, height } = tiles[0].raster
  await write('blank-board.tif', blankBoard({ ...LIGHT, width, height, seed: 2 }))
  const chart = chartCapture({ ...LIGHT, width, height, seed: 3, share: 0.72, rotationDeg: 2.5 })
  await write('chart.tif', chart.raster)
  await writeFile(join(captures, 'chart.txt'), chartReferenceText(chart.labD50))
  const pipelineFile = join(folder, 'harbour.yaml')
  await writeFile(pipelineFile, pipelineText(TURNED_TILE, tiles.length))
  return { pipelineFile, painting, tiles }
}
