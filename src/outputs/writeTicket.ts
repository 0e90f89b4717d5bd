import type { Plan } from './contract.js'

export interface TicketInput {
  title: string
  credit: { creator: string; rights: string; contact: string; description?: string }
  plans: readonly { kind: string; name: string; plan: Plan }[]
  cautions: readonly string[]
}

/**
 * Before the sheet goes in. Common practice, but for the light: ISO 3664 (2000 lx for critical comparison, 500 lx for
 * practical appraisal, both D50; from a secondary source).
 */
const BEFORE = [
  'Nozzle check printed and complete.',
  "Printable side found: the coated side is the one on which a damp fingertip sticks, tried on a spare corner; or by the paper maker's mark.",
  "Media setting in the printer's driver as the paper's profile was made for; the driver's own colour correction off, scaling 100 %.",
  'Sheets clean, flat and as warm and dry as the room.',
]
const AFTER = [
  'Measure one printed length against the size stated above before printing the rest.',
  'Let the print dry, flat and uncovered, for a day before judging colour or stacking.',
  'Judge it beside the original under D50 light: 2000 lx for critical comparison, 500 lx for practical appraisal (ISO 3664); then in the light where it will hang.',
]

/**
 * The job ticket in Markdown: for each output how it lies on which sheet and what to choose, then the checks to make.
 * @returns text with a final line end
 */
export function ticketText({ title, credit, plans, cautions }: TicketInput): string {
  const credits = [
    credit.creator && `Creator: ${credit.creator}`,
    credit.rights && `Rights: ${credit.rights}`,
    credit.contact && `Contact: ${credit.contact}`,
    credit.description && `Description: ${credit.description}`,
  ].filter(Boolean)
  const blocks = [
    [`# Job ticket: ${title}`],
    credits.length ? credits.map((line) => `- ${line}`) : [],
    ...plans.flatMap(({ kind, name, plan }) => [[`## ${name} (${kind})`], plan.ticket]),
    plans.length
      ? ['## Before printing', '', ...BEFORE.map(box)]
      : ['No prints or cards were asked for; the master alone was made.'],
    plans.length ? ['## After printing', '', ...AFTER.map(box)] : [],
    ['## Cautions', '', ...cautions.map((line) => `- ${line}`)],
  ]
  return `${blocks
    .filter((lines) => lines.length)
    .map((lines) => lines.join('\n'))
    .join('\n\n')}\n`
}

const box = (line: string) => `- [ ] ${line}`
