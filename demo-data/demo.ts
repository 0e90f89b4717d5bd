import { join, relative, resolve } from 'node:path'
import type { SpaceName } from '../src/colour/spaces/SpaceName.js'
import { displayFor } from '../src/commands/display/displayFor.js'
import type { RunEvent } from '../src/engine/RunEvent.js'
import { runPipeline } from '../src/engine/runPipeline.js'
import { FinetoothError } from '../src/errors.js'
import { decodePicture } from '../src/files/decodePicture.js'
import { loadPipeline } from '../src/pipeline/Pipeline.js'
import type { RunRecord } from '../src/runRecord.js'
import { type AgainstTruth, againstTruth, type Closeness } from './demo/againstTruth.js'
import { writeScene } from './demo/writeScene.js'
import type { Transform } from './Transform.js'

/** Paints a small set of captures, runs the main job on it, and says how close the master came to the painter's truth. */
async function demo(): Promise<void> {
  const folder = resolve('demo-out')
  const started = performance.now()
  const seconds = () => `${((performance.now() - started) / 1000).toFixed(0)} s`
  console.log('Painting Harbour at low tide and laying it on the scanner, in four tiles ...')
  const scene = await writeScene(folder, { width: 3000, height: 2000 })
  console.log(`Painted and captured after ${seconds()}: ${relative('.', scene.pipelineFile)}`)

  const stop = new AbortController()
  process.once('SIGINT', () => stop.abort())
  const terminal = {
    out: process.stdout,
    err: process.stderr,
    currentFolder: process.cwd(),
    signal: stop.signal,
  }
  const display = displayFor({ json: false, quiet: false, verbose: false }, terminal)
  const outFolder = join(folder, 'harbour-out')
  const pipeline = await loadPipeline(scene.pipelineFile)
  let record: RunRecord
  try {
    record = await runPipeline(pipeline, {
      ...{ outFolder, overwrite: true, signal: stop.signal },
      // The report holds every number and statement; here only the way there is shown.
      onEvent: (event) => SHOWN.includes(event.event) && display.event(event),
    })
  } finally {
    display.close()
  }

  const written = record.outputs.find(({ kind }) => kind === 'master')!
  const { raster } = await decodePicture(join(outFolder, written.path))
  const joined = record.readings.stitch as { captures: { placed: { toSheet: Transform } }[] }
  const close = againstTruth(
    scene,
    { raster, space: written.space as SpaceName },
    joined.captures.map(({ placed }) => placed.toSheet),
  )
  console.log(tableOf(close))
  console.log(`All after ${seconds()}. The pipeline file: ${relative('.', scene.pipelineFile)}`)
  console.log(`Open the report in a browser: ${relative('.', join(outFolder, 'report', 'index.html'))}`)
}

const SHOWN: RunEvent['event'][] = ['progress', 'warning', 'written', 'done']

function tableOf({ captured, master, misplacementPx }: AgainstTruth): string {
  const row = (name: string, value: (of: Closeness) => string) =>
    `  ${name.padEnd(38)}${value(captured).padStart(12)}${value(master).padStart(12)}`
  const percent = (share: number) => `${(100 * share).toFixed(0)} %`
  return [
    '',
    `  ${'Against the painter’s truth'.padEnd(38)}${'captured'.padStart(12)}${'master'.padStart(12)}`,
    row('likeness, PSNR in sRGB', ({ psnrDb }) => `${psnrDb.toFixed(1)} dB`),
    row('relief on bare paper', ({ reliefDb }) => (reliefDb < -60 ? 'none' : `${reliefDb.toFixed(1)} dB`)),
    row('contrast of pencil lines', ({ pencilKept }) => percent(pencilKept)),
    row('contrast of granulation', (of) => percent(of.granulationKept)),
    `  ${'tiles out of place, RMS'.padEnd(38)}${''.padStart(12)}${`${misplacementPx.toFixed(2)} px`.padStart(12)}`,
    '  (captured: white set on the paper; the hue step’s turn of the blues counts as a difference)',
    '',
  ].join('\n')
}

try {
  await demo()
} catch (error) {
  if (!(error instanceof FinetoothError)) throw error
  console.error(error.message)
  process.exitCode = error.exitStatus
}
