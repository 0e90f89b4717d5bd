import { join } from 'node:path'
import { isDeepStrictEqual } from 'node:util'
import { captureSource } from '../colour/captureSource.js'
import type { DeviceColour } from '../colour/profiles/deviceMatrix.js'
import { profileBytes } from '../colour/profiles/profileBytes.js'
import { spaceTransform } from '../colour/spaceTransform.js'
import { toPicture8 } from '../colour/toPicture8.js'
import { writeAll, writeAtomically } from '../files/writeAtomically.js'
import { writePdf } from '../files/writePdf.js'
import { writePicture } from '../files/writePicture.js'
import type { Picture8 } from '../findings.js'
import type { Derivation, MasterInfo, RenderContext } from '../outputs/contract.js'
import type { Raster } from '../raster/Raster.js'
import { deriveAll } from './deriveAll.js'
import type { PlannedOutput } from './planOutputs.js'
import { readBeside } from './readBeside.js'
import { sketchRow } from './sketchRow.js'
import type { WorkerPool } from './WorkerPool.js'

export interface RenderedOutput {
  preview?: { caption: string; picture: Picture8 }
  seconds: number
}

const PREVIEW_PX = 560

/**
 * Renders one planned output into the staging folder.
 * @param derived what was derived for it together with others, where it was
 */
export async function renderOutput(
  { output, params, plan, beside }: Pick<PlannedOutput, 'output' | 'params' | 'plan' | 'beside'>,
  master: { info: MasterInfo; raster: Raster },
  pool: WorkerPool,
  stagingPath: string,
  deviceColour: DeviceColour | undefined,
  onShare: (share: number) => void,
  derived?: { request: Derivation; raster: Raster },
): Promise<RenderedOutput> {
  const started = performance.now()
  let preview: RenderedOutput['preview']
  const { title, credit } = master.info
  const context: RenderContext = {
    master: master.info,
    beside,
    readPicture: (path, largest, space) => readBeside(path, largest, space, pool.signal),
    derive: async (request) => {
      const made = isDeepStrictEqual(request, derived?.request) ? derived!.raster : undefined
      const target = made ?? (await deriveAll(pool, master, [request], onShare))[0]
      preview ??= previewOf(target, request.space)
      return target
    },
    writePicture: (path, raster, { space, ...options }) =>
      writePicture(join(stagingPath, path), raster, {
        ...options,
        profile: profileBytes(space),
        metadata: { title, ...credit },
        signal: pool.signal,
      }),
    writePdf: (path, document) =>
      writePdf(join(stagingPath, path), document, {
        profiles: profileBytes,
        metadata: { ...credit },
        signal: pool.signal,
      }),
    writeBytes: (path, bytes) => writeAtomically(join(stagingPath, path), (file) => writeAll(file, bytes)),
    deviceColour,
    say: (finding) => plan.findings.push(finding),
    progress: onShare,
    checkCancelled: () => pool.checkCancelled(),
  }
  await output.render(params, context)
  pool.checkCancelled()
  if (preview) preview.caption = `${plan.files.map(({ path }) => path).join(', ')}, the picture at fit.`
  return { preview, seconds: (performance.now() - started) / 1000 }
}

function previewOf(raster: Raster, space: MasterInfo['space']): NonNullable<RenderedOutput['preview']> {
  const { width, height } = raster
  const factor = Math.max(1, Math.ceil(Math.max(width, height) / PREVIEW_PX))
  const source = captureSource(raster, spaceTransform(space))
  const rows = Array.from({ length: Math.ceil(height / factor) }, (_, j) =>
    toPicture8(sketchRow(source, j, factor)),
  )
  const rgb = new Uint8Array(rows.length * rows[0].rgb.length)
  rows.forEach((row, j) => {
    rgb.set(row.rgb, j * row.rgb.length)
  })
  return { caption: '', picture: { width: rows[0].width, height: rows.length, rgb } }
}
