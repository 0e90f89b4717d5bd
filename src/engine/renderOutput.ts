import { join } from 'node:path'
import { isDeepStrictEqual } from 'node:util'
import type { DeviceColour } from '../colour/profiles/deviceMatrix.js'
import { profileBytes } from '../colour/profiles/profileBytes.js'
import { writeAll, writeAtomically } from '../files/writeAtomically.js'
import { writePdf } from '../files/writePdf.js'
import { writePicture } from '../files/writePicture.js'
import type { Picture8 } from '../findings.js'
import type { Derivation, MasterInfo, RenderContext } from '../outputs/contract.js'
import type { Raster } from '../raster/Raster.js'
import { deriveAll } from './deriveAll.js'
import type { PlannedOutput } from './planOutputs.js'
import { readBeside } from './readBeside.js'
import type { WorkerPool } from './WorkerPool.js'

/** What outputs are made from. */
export interface FinishedMaster {
  info: MasterInfo
  raster: Raster
  /** What the captures' codes are as corrected light; absent where no step has measured it. */
  deviceColour?: DeviceColour
}

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
  master: FinishedMaster,
  pool: WorkerPool,
  stagingPath: string,
  onShare: (share: number) => void,
  derived?: { request: Derivation; raster: Raster },
): Promise<RenderedOutput> {
  const started = performance.now()
  let viewed: Promise<Picture8> | undefined
  const { title, credit } = master.info
  const context: RenderContext = {
    master: master.info,
    beside,
    readPicture: (path, largest, space) => readBeside(path, largest, space, pool.signal),
    derive: async (request) => {
      const made = isDeepStrictEqual(request, derived?.request) ? derived!.raster : undefined
      const target = made ?? (await deriveAll(pool, master, [request], onShare))[0]
      // Made by a thread while the file is written; should that fail first, this must not go unheard.
      viewed ??= pool.run('preview', { raster: target, space: request.space, longestPx: PREVIEW_PX })
      viewed.catch(() => {})
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
    deviceColour: master.deviceColour,
    say: (finding) => plan.findings.push(finding),
    progress: onShare,
    checkCancelled: () => pool.checkCancelled(),
  }
  await output.render(params, context)
  pool.checkCancelled()
  const picture = await viewed
  const caption = `${plan.files.map(({ path }) => path).join(', ')}, the picture at fit.`
  return {
    ...(picture ? { preview: { caption, picture } } : {}),
    seconds: (performance.now() - started) / 1000,
  }
}
