import type { RunPlan } from '../../engine/planRun.js'
import type { Pipeline } from '../../pipeline/Pipeline.js'
import { MM_PER_INCH } from '../../units.js'
import { table } from './table.js'
import { mmWords, numberWords, sizeWords, timeWords } from './words.js'

/** What `check` prints: captures, steps, master, outputs, and what the run will ask of the machine. */
export function planLines(pipeline: Pipeline, plan: RunPlan, folder: string): string[] {
  const { master } = plan
  const mm = mmWords((master.width / master.ppi) * MM_PER_INCH, (master.height / master.ppi) * MM_PER_INCH)
  const about = master.estimated ? 'about ' : ''
  const assumed = master.ppiAssumed ? ' (assumed)' : ''
  const space = master.spaceAuto ? 'the smallest standard space that holds it' : master.space
  return [
    pipeline.title,
    '',
    `Captures (${pipeline.captures.kind})`,
    ...capturesTable(plan),
    '',
    'Steps, in this order',
    ...(plan.steps.length
      ? table(
          ['', ''],
          plan.steps.map(({ name, summary }) => [name, summary]),
        ).slice(1)
      : ['  none: the captures become the master as they are']),
    '',
    'Master',
    `  ${pipeline.master.file}: ${about}${master.width} x ${master.height} px, ${mm} at ${Math.round(master.ppi)} ppi${assumed}, ${pipeline.master.depth} bits, ${space}`,
    '',
    'Outputs',
    ...outputsTable(plan),
    ...statements(plan),
    '',
    `The run takes about ${timeWords(plan.seconds)}, ${sizeWords(plan.memoryBytes)} of memory and ${sizeWords(plan.diskBytes)} of disk,`,
    `and writes to ${folder}`,
  ]
}

function capturesTable({ captures }: RunPlan): string[] {
  const turnedAny = captures.some(({ turned }) => turned !== 0)
  const head = ['file', 'pixels', 'ppi', 'bits', 'profile', 'size', ...(turnedAny ? ['turned'] : [])]
  const rows = captures.map(({ label, width, height, ppi, depth, profile, bytes, turned }) => [
    label,
    `${width} x ${height}`,
    ppi === undefined ? '-' : numberWords(ppi),
    String(depth),
    profile,
    sizeWords(bytes),
    ...(turnedAny ? [`${turned}°`] : []),
  ])
  return table(head, rows)
}

function outputsTable({ outputs }: RunPlan): string[] {
  const files = outputs.flatMap(({ plan }) => plan.files)
  const documents = outputs.flatMap(({ plan }) => plan.documents ?? [])
  const others = documents.map(({ path, kind, bytes }) => `  ${path}: ${kind}, up to ${sizeWords(bytes)}`)
  if (files.length === 0) return others.length ? others : ['  none besides the master']
  const cutAny = files.some(({ cutShare }) => cutShare)
  const rows = files.map((file) => [
    file.path,
    mmWords(file.widthMm, file.heightMm),
    `${file.width} x ${file.height}`,
    String(Math.round(file.ppi)),
    String(Math.round(file.effectivePpi)),
    String(file.depth),
    file.space,
    ...(cutAny ? [file.cutShare ? `${(file.cutShare * 100).toFixed(1)} %` : '0 %'] : []),
    sizeWords(file.bytes),
  ])
  const head = [
    'file',
    'on paper',
    'pixels',
    'ppi',
    'effective ppi',
    'bits',
    'space',
    ...(cutAny ? ['cut off'] : []),
    'size',
  ]
  return [...table(head, rows), ...others]
}

function statements({ outputs }: RunPlan): string[] {
  return outputs.flatMap(({ name, plan: { findings } }) =>
    findings.flatMap((finding) => (finding.kind === 'statement' ? [`  ${name}: ${finding.text}`] : [])),
  )
}
