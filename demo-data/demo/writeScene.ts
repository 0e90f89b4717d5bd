import { mkdir, writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { profileBytes } from '../../src/colour/profiles/profileBytes.js'
import { writePicture } from '../../src/files/writePicture.js'
import type { Raster } from '../../src/raster/Raster.js'
import { blankBoard } from '../blankBoard.js'
import { chartCapture } from '../chartCapture.js'
import { chartReferenceText } from './chartReferenceText.js'
import { LIGHT, paintedScene, type Scene, TURNED_TILE } from './paintedScene.js'
import { pipelineText } from './pipelineText.js'

export interface WrittenScene extends Scene {
  pipelineFile: string
}

/**
 * Paints the scene and captures it: four tiles, a blank board, a chart with its measured values, and the pipeline file.
 * @param folder is made where it is missing; captures of an earlier demo are written over
 */
export async function writeScene(
  folder: string,
  size: { width: number; height: number },
): Promise<WrittenScene> {
  const captures = join(folder, 'captures')
  await mkdir(captures, { recursive: true })
  const profile = profileBytes('sRGB')
  const { painting, tiles } = paintedScene(size)
  const write = (name: string, raster: Raster) =>
    writePicture(join(captures, name), raster, { format: 'tif', depth: 16, ppi: painting.ppi, profile })
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
