import { join } from 'node:path'
import { encodeJpeg } from '../files/encodeJpeg.js'
import { writeText } from '../files/writeText.js'
import type { Picture8 } from '../findings.js'
import { CAUTIONS } from '../outputs/cautions.js'
import type { Output, Plan } from '../outputs/contract.js'
import { ticketText } from '../outputs/writeTicket.js'
import type { Pipeline } from '../pipeline/Pipeline.js'
import type { ReportInput } from '../report/ReportInput.js'
import { renderReport } from '../report/renderReport.js'
import type { RunRecord } from '../runRecord.js'
import type { Comparisons } from './gatherComparisons.js'
import type { RenderedOutput } from './renderOutput.js'
import type { Readings } from './takeReadings.js'

interface Documented {
  pipeline: Pipeline
  readings: Readings
  rendered: ({ kind: string; name: string; output: Output; plan: Plan } & RenderedOutput)[]
  comparisons?: Comparisons
}

/** High enough that what is judged at 100 % in the report is the picture and not its coding. */
const REPORT_QUALITY = 94

/** Writes the job ticket and, where asked, the report. */
export async function writeDocuments(
  stagingPath: string,
  record: RunRecord,
  { pipeline, readings, rendered, comparisons }: Documented,
  onShare: (share: number) => void,
): Promise<void> {
  const { title, credit } = pipeline
  await writeText(
    join(stagingPath, 'ticket.md'),
    ticketText({ title, credit, plans: rendered, cautions: CAUTIONS }),
  )
  onShare(0.1)
  if (!comparisons) return
  const input: ReportInput = {
    record,
    title,
    fit: comparisons.fit,
    details: comparisons.details,
    steps: readings.taken.map(({ step: { name, summary }, findings }) => ({
      ...{ name, summary, findings },
      comparisons: comparisons.steps.get(name) ?? [],
    })),
    outputs: rendered.map(({ kind, name, output: { summary }, plan: { findings, ticket }, preview }) => ({
      ...{ kind, name, summary, findings, ticket, preview },
    })),
    cautions: CAUTIONS,
  }
  const html = await renderReport(input, dataUri)
  await writeText(join(stagingPath, 'report', 'index.html'), html)
  onShare(1)
}

async function dataUri(picture: Picture8): Promise<string> {
  return `data:image/jpeg;base64,${Buffer.from(await encodeJpeg(picture, REPORT_QUALITY)).toString('base64')}`
}
