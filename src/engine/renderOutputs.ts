import { deriveAll } from './deriveAll.js'
import type { PlannedOutput } from './planOutputs.js'
import { type FinishedMaster, type RenderedOutput, renderOutput } from './renderOutput.js'
import type { WorkerPool } from './WorkerPool.js'

/** The common pass is told of in so many steps, each for all of its outputs. */
const TOLD_STEPS = 20

/**
 * Renders all outputs into the staging folder: as many at once as together take no more memory than the master does,
 * derived in one pass over it, then written side by side.
 * @param onShare is told of every output how far it is
 */
export async function renderOutputs(
  planned: readonly PlannedOutput[],
  master: FinishedMaster,
  pool: WorkerPool,
  stagingPath: string,
  onShare: (index: number, share: number) => void,
): Promise<RenderedOutput[]> {
  const rendered: RenderedOutput[] = []
  const requests = planned.map(({ output, params }) => output.derivation?.(params, master.info))
  const samples = requests.map((request) => (request ? request.width * request.height * 3 : 0))
  for (const together of batches(samples, master.raster.data.length)) {
    const started = performance.now()
    const derived = await deriveFor(together)
    const seconds = (performance.now() - started) / 1000
    const all = together.reduce((sum, i) => sum + samples[i], 0)
    await Promise.all(
      together.map(async (i) => {
        const tell = (share: number) => onShare(i, 0.9 + share * 0.1)
        const made = await renderOutput(planned[i], master, pool, stagingPath, tell, derived.get(i))
        tell(1)
        // The time of the common pass is shared out by pixels.
        const own = all > 0 ? (seconds * samples[i]) / all : 0
        rendered[i] = { ...made, seconds: made.seconds + own }
      }),
    )
  }
  return rendered

  async function deriveFor(together: readonly number[]) {
    let told = 0
    const pictured = together.flatMap((i) => (requests[i] ? [{ i, request: requests[i] }] : []))
    const rasters = await deriveAll(
      pool,
      master,
      pictured.map(({ request }) => request),
      (share) => {
        const step = Math.floor(share * TOLD_STEPS)
        if (step === told) return
        told = step
        for (const { i } of pictured) onShare(i, share * 0.9)
      },
    )
    return new Map(pictured.map(({ i, request }, k) => [i, { request, raster: rasters[k] }]))
  }
}

/** Outputs in their order, as many in a batch as `most` samples hold, at least one. */
function batches(samples: readonly number[], most: number): number[][] {
  const all: number[][] = []
  let room = 0
  samples.forEach((count, i) => {
    if (all.length === 0 || count > room) {
      all.push([])
      room = most
    }
    all.at(-1)!.push(i)
    room -= count
  })
  return all
}
