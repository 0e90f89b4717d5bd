import { availableParallelism } from 'node:os'
import { dirname } from 'node:path'
import { freeBytes } from '../files/freeBytes.js'
import { readHeader } from '../files/readHeader.js'
import type { MasterInfo, Plan } from '../outputs/contract.js'
import type { Pipeline } from '../pipeline/Pipeline.js'
import type { CaptureInfo } from '../steps/contract.js'
import { STEPS } from '../steps/registry.js'
import { ASSUMED_PPI } from './assumedPpi.js'
import { captureResolution } from './captureResolution.js'
import { captureTransform } from './captureTransform.js'
import { checkInputs } from './checkInputs.js'
import { estimateSeconds } from './estimateSeconds.js'
import { measuresColour } from './measuresColour.js'
import { planOutputs } from './planOutputs.js'
import { untaggedWarning } from './untaggedWarning.js'

/** Everything about a run short of the pixels. */
export interface RunPlan {
  captures: (CaptureInfo & { profile: string; depth: number; bytes: number; raw?: boolean })[]
  steps: { name: string; summary: string }[]
  /**
   * Sizes are estimates where `stitch` joins several captures: `estimated` says so. `spaceAuto`: the run will choose
   * the space, and the one named here stands in for it.
   */
  master: MasterInfo & { estimated: boolean; spaceAuto: boolean; bytes: number }
  outputs: { kind: string; name: string; plan: Plan }[]
  /** Rough: from the pixels to move and what the steps cost. */
  seconds: number
  memoryBytes: number
  diskBytes: number
  warnings: { step: string; message: string }[]
}

/** Share of the captures' area that the joined sheet is taken to have: an overlap of 15 % of each capture's area. */
const JOINED_SHARE = 0.85
/** What a camera raw file takes while it is developed, before there is a master. */
const RAW_BYTES_A_PIXEL = 38
/** What the program and its workers hold besides pictures. */
const BASE_MEMORY_BYTES = 400e6

/**
 * Resolves a pipeline against its files' headers and plans every output. Touches no pixel.
 * @param threads worker threads the run will have
 * @throws RequestError for captures that cannot be used and outputs that cannot be made
 */
export async function planRun(pipeline: Pipeline, threads = availableParallelism()): Promise<RunPlan> {
  await checkInputs(pipeline)
  const warnings: RunPlan['warnings'] = []
  const say = (message: string) => warnings.push({ step: 'captures', message })
  const untagged: string[] = []
  const captures: RunPlan['captures'] = []
  for (const { path, label, turned } of pipeline.captures.files) {
    const header = await readHeader(path)
    const { width, height, depth, bytes, raw } = header
    const ppi = captureResolution(pipeline, label, header, { say, warn: say })
    const { description, tagged } = await captureTransform(header, label, pipeline.captures.profile)
    if (!tagged) untagged.push(label)
    captures.push({
      label,
      width,
      height,
      ppi,
      turned,
      profile: description,
      depth,
      bytes,
      ...(raw && { raw: true }),
    })
  }
  const untaggedText = untaggedWarning(untagged)
  if (untaggedText) say(untaggedText)
  const size = masterSize(pipeline, captures)
  const ppi = pipelinePpi(pipeline, captures, size.width)
  if (!ppi) {
    warnings.push({
      step: 'master',
      message: `neither the captures nor the pipeline say a resolution; ${ASSUMED_PPI} ppi is assumed, so sizes on paper are a guess. State captures.ppi or captures.size`,
    })
  }
  const spaceAuto = pipeline.master.space === 'auto'
  const info: MasterInfo = {
    ...{ width: size.width, height: size.height, ppi: ppi ?? ASSUMED_PPI, ppiAssumed: !ppi },
    space: pipeline.master.space === 'auto' ? 'opRGB' : pipeline.master.space,
    ...{ title: pipeline.title, credit: pipeline.credit, colourMeasured: measuresColour(pipeline) },
  }
  const outputs = await planOutputs(pipeline, info)
  for (const { name, plan } of outputs) {
    for (const finding of plan.findings) {
      if (finding.kind === 'warning') warnings.push({ step: name, message: finding.text })
    }
  }

  const pixels = (of: readonly { width: number; height: number }[]) =>
    of.reduce((sum, { width, height }) => sum + width * height, 0)
  const files = outputs.flatMap(({ plan }) => plan.files)
  const documents = outputs.flatMap(({ plan }) => plan.documents ?? [])
  const captured = pixels(captures)
  const masterBytes = size.width * size.height * 6
  const developing = RAW_BYTES_A_PIXEL * Math.max(0, ...captures.map((one) => (one.raw ? pixels([one]) : 0)))
  const diskBytes = masterBytes + [...files, ...documents].reduce((sum, { bytes }) => sum + bytes, 0)
  const free = await freeBytes(dirname(pipeline.file))
  if (free !== undefined && free < diskBytes * 1.1) {
    warnings.push({
      step: 'outputs',
      message: `about ${megabytes(diskBytes)} MB will be written and ${megabytes(free)} MB are free beside the pipeline file`,
    })
  }
  return {
    captures,
    steps: pipeline.steps.map(({ name }) => ({ name, summary: STEPS.get(name)!.summary })),
    master: { ...info, estimated: size.estimated, spaceAuto, bytes: masterBytes },
    outputs: outputs.map(({ kind, name, plan }) => ({ kind, name, plan })),
    seconds: estimateSeconds(pipeline, {
      captures: captures.map(({ width, height, raw }) => ({
        megapixels: (width * height) / 1e6,
        raw: raw ?? false,
      })),
      master: (size.width * size.height) / 1e6,
      outputs: files.map(({ width, height }) => (width * height) / 1e6),
      report: pipeline.report,
      threads,
    }),
    memoryBytes: captured * 6 + Math.max(masterBytes, developing) + BASE_MEMORY_BYTES,
    diskBytes,
    warnings,
  }
}

const megabytes = (bytes: number) => Math.round(bytes / 1e6)

/** The master's size: a single capture's own, or an estimate of the joined sheet's. */
function masterSize({ captures: { sizeMm, files } }: Pipeline, captures: RunPlan['captures']) {
  const upright = captures.map(({ width, height, turned }) =>
    turned % 180 ? { width: height, height: width } : { width, height },
  )
  if (files.length === 1) return { ...upright[0], estimated: false }
  const area = JOINED_SHARE * upright.reduce((sum, { width, height }) => sum + width * height, 0)
  const aspect =
    sizeMm?.width && sizeMm.height ? sizeMm.width / sizeMm.height : upright[0].width / upright[0].height
  return {
    width: Math.round(Math.sqrt(area * aspect)),
    height: Math.round(Math.sqrt(area / aspect)),
    estimated: true,
  }
}

function pipelinePpi(
  { captures: { sizeMm } }: Pipeline,
  captures: RunPlan['captures'],
  width: number,
): number | undefined {
  const stated = captures.map(({ ppi }) => ppi).filter((ppi) => ppi !== undefined)
  if (stated.length) return Math.max(...stated)
  return sizeMm?.width ? (width / sizeMm.width) * 25.4 : undefined
}
