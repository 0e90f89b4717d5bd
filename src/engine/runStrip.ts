import { profileBytes } from '../colour/profiles/profileBytes.js'
import { textMask } from '../files/textMask.js'
import { writePdf } from '../files/writePdf.js'
import { writePicture } from '../files/writePicture.js'
import type { Derivation, MasterInfo } from '../outputs/contract.js'
import type { StripContent } from '../outputs/strip/StripContent.js'
import { pageCrop, stripPages } from '../outputs/strip/stripPages.js'
import { screenCrop, stripPicture } from '../outputs/strip/stripPicture.js'
import type { Pipeline } from '../pipeline/Pipeline.js'
import type { Raster } from '../raster/Raster.js'
import type { Rect } from '../raster/Rect.js'
import { emptyTile, type Tile } from '../raster/Tile.js'
import { ASSUMED_PPI } from './assumedPpi.js'
import { buildChain } from './buildChain.js'
import type { Chain } from './Chain.js'
import type { Ranks } from './chooseDetails.js'
import { openCaptures } from './openCaptures.js'
import { peakMemory } from './peakMemory.js'
import type { RunEvent } from './RunEvent.js'
import { RunLog } from './RunLog.js'
import { reliefLeft } from './reliefLeft.js'
import { chooseSpace } from './renderMaster.js'
import { sketchView } from './sketchView.js'
import { choosePlaces } from './strip/choosePlaces.js'
import { renderPlaces, renderVariantCrops } from './strip/renderCrops.js'
import type { StripSubject } from './strip/StripSubject.js'
import { newChain, takeReadings } from './takeReadings.js'
import { WorkerPool } from './WorkerPool.js'

export interface StripOptions {
  /** Absolute paths of the files to write; a strip is written as either or both. */
  png?: string
  pdf?: string
  threads?: number
  signal: AbortSignal
  onEvent(event: RunEvent): void
}

/** What a strip shows. */
export interface Strip {
  content: StripContent
  /** The places, by column, in pixels of the master or of the output whose sharpening is shown. */
  rects: Rect[]
}

/** Longest side of the view that places are chosen on. */
const VIEW_PX = 960

/**
 * Makes a test strip: readings once, then the same few places of the picture for every step of what is varied.
 * @returns what the strip shows, with the lines to copy
 * @throws RequestError, WorkError or Interrupted
 */
export async function runStrip(
  pipeline: Pipeline,
  subject: StripSubject,
  options: StripOptions,
): Promise<Strip> {
  const pool = new WorkerPool({ threads: options.threads, signal: options.signal })
  try {
    return await work(pipeline, subject, options, pool)
  } finally {
    await pool.close()
  }
}

async function work(
  pipeline: Pipeline,
  subject: StripSubject,
  { png, pdf, onEvent }: StripOptions,
  pool: WorkerPool,
): Promise<Strip> {
  const clock = performance.now()
  const log = new RunLog(onEvent)
  const captures = await openCaptures(pipeline, pool, log)
  const onReading = log.stage('readings', 0.6)
  const done = new Set<string>()
  const readings = await takeReadings(pipeline, captures, pool, {
    progress: (name, share) => {
      onReading((done.size + share) / pipeline.steps.length)
      if (share === 1) done.add(name)
    },
    note: (step, text) => log.say(step, text),
    warning: (step, text) => log.warn(step, text),
  })
  for (const { step, findings } of readings.taken) {
    log.findings(
      step.name,
      findings.filter(({ kind }) => kind === 'warning'),
    )
  }
  const stages = readings.taken.map(({ stage }) => stage)
  const chain = newChain(captures.opened, stages)
  const [picture] = buildChain(chain)
  const space =
    pipeline.master.space === 'auto' ? (await chooseSpace(pool, chain, picture)).space : pipeline.master.space
  const ppi = readings.ppi ?? ASSUMED_PPI
  if (!readings.ppi) {
    log.warn(
      'strip',
      `no file and no key says a resolution; ${ASSUMED_PPI} ppi is assumed, so sizes on paper are a guess`,
    )
  }
  const size: MasterInfo = {
    ...{ width: picture.width, height: picture.height, ppi, ppiAssumed: !readings.ppi, space },
    ...{ title: pipeline.title, credit: pipeline.credit },
  }
  const info = { ...size, reliefLeft: reliefLeft(readings.taken) }
  // Where things are does not depend on the steps after the join, and without them a view is made at once.
  const joins = readings.taken.filter(({ step }) => step.scope === 'join').map(({ stage }) => stage)
  const seen = await sketchView(pool, newChain(captures.opened, joins), picture, VIEW_PX)

  const onShare = log.stage('strip', 1)
  const strip = await render(subject, { chain, stages, info, seen, pool, onShare })
  pool.checkCancelled()
  const tagged = { ppi: strip.ppi, profile: profileBytes(strip.space), signal: pool.signal }
  if (png) {
    const sheet = await stripPicture(strip.content, strip.crops, textMask)
    const metadata = { title: strip.content.title, ...pipeline.credit }
    await writePicture(png, sheet, { format: 'png', depth: 8, ...tagged, metadata })
    log.written({ kind: 'strip', name: subject.name, path: png })
  }
  if (pdf) {
    const document = stripPages(strip.content, strip.crops, { ...strip, creator: pipeline.credit.creator })
    await writePdf(pdf, document, { profiles: profileBytes, signal: pool.signal })
    log.written({ kind: 'strip', name: subject.name, path: pdf })
  }
  onEvent({
    event: 'done',
    folder: png ?? pdf ?? '',
    report: null,
    seconds: (performance.now() - clock) / 1000,
    peakMemoryBytes: peakMemory(),
  })
  return { content: strip.content, rects: strip.rects }
}

interface Rendered extends Strip {
  /** By row, then by column. */
  crops: Raster[][]
  ppi: number
  space: MasterInfo['space']
  rowsAPage: number
}

interface Scene {
  chain: Chain
  stages: Chain['stages']
  info: MasterInfo
  /** A small view of the master. */
  seen: { view: Tile; factor: number }
  pool: WorkerPool
  onShare(share: number): void
}

async function render(
  subject: StripSubject,
  { chain, stages, info, seen, pool, onShare }: Scene,
): Promise<Rendered> {
  if ('derived' in subject) {
    const { content, derivation, ppi, sharpenings } = subject.derived(info)
    const view = viewOf(seen, derivation, info)
    const { columns, rects, rowsAPage } = placesOf(content, ppi, derivation, view)
    const crops = await renderVariantCrops(pool, chain, info, derivation, sharpenings, rects, onShare)
    return { content: { ...content, columns }, rects, crops, ppi, space: derivation.space, rowsAPage }
  }
  const { content } = subject
  const { columns, rects, rowsAPage } = placesOf(content, info.ppi, info, seen, subject.ranks)
  const crops: Raster[][] = []
  for (const row of content.rows.keys()) {
    const varied = newChain(chain.captures, subject.stages(row, stages))
    const from = row / content.rows.length
    crops.push(
      await renderPlaces(pool, varied, rects, info.space, (share) =>
        onShare(from + share / content.rows.length),
      ),
    )
  }
  return {
    ...{ content: { ...content, columns }, rects, crops },
    ...{ ppi: info.ppi, space: info.space, rowsAPage },
  }
}

/** The places shown of a picture, and their titles. */
function placesOf(
  content: Omit<StripContent, 'columns'>,
  ppi: number,
  picture: { width: number; height: number },
  { view, factor }: { view: Tile; factor: number },
  ranks?: Ranks,
): { columns: string[]; rects: Rect[]; rowsAPage: number } {
  const { widthPx, heightPx, rowsAPage } = pageCrop({ ...content, columns: ['', '', ''] }, ppi, picture)
  const whole = { width: widthPx, height: heightPx }
  const places = choosePlaces(view, factor, picture, screenCrop(whole), whole, ranks)
  return { columns: places.map(({ title }) => title), rects: places.map(({ rect }) => rect), rowsAPage }
}

/** The view of what a derivative shows of the master. */
function viewOf(
  { view, factor }: { view: Tile; factor: number },
  { crop, width }: Derivation,
  master: { width: number; height: number },
): { view: Tile; factor: number } {
  const left = Math.floor(Math.max(0, crop.x) / factor)
  const top = Math.floor(Math.max(0, crop.y) / factor)
  const right = Math.min(view.rect.width, Math.ceil(Math.min(master.width, crop.x + crop.width) / factor))
  const foot = Math.min(view.rect.height, Math.ceil(Math.min(master.height, crop.y + crop.height) / factor))
  const part = emptyTile({ x: 0, y: 0, width: right - left, height: foot - top })
  view.planes.forEach((plane, c) => {
    for (let j = 0; j < part.rect.height; j++) {
      const from = (top + j) * view.rect.width + left
      part.planes[c].set(plane.subarray(from, from + part.rect.width), j * part.rect.width)
    }
  })
  return { view: part, factor: (factor * width) / crop.width }
}
