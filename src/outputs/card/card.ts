import { toMm } from '../../units.js'
import type { Output } from '../contract.js'
import { bareBeyond } from '../shared/bareBeyond.js'
import { composeCard } from './composeCard.js'
import { type CardParams, cardParams } from './params.js'
import { cardPath, planCard } from './planCard.js'

/** A mark holds lines, which want more pixels than a picture does; common practice for line work is 600 to 1200. */
const MARK_PPI = 1200
/** The longest a mark may be drawn, beyond any card's back. */
const LONGEST_MARK_MM = 1000

/** A folded or flat card with bleed, trim and fold marks, as many on a sheet as it holds, as PDF. */
export const card: Output<CardParams> = {
  kind: 'card',
  summary: 'a folded or flat card with bleed, trim and fold marks, as many on a sheet as it holds, as PDF',
  params: cardParams,
  paths: (params) => [cardPath(params)],
  pictures: ({ mark }) => (mark ? [{ key: 'mark', path: mark.file }] : []),
  plan(params, master, beside) {
    const { files, ticket, findings } = planCard(params, master, beside)
    return { files, ticket, findings }
  },
  derivation: (params, master) => planCard(params, master).derivation,
  async render(params, context) {
    const plan = planCard(params, context.master, context.beside)
    const picture = await context.derive(plan.derivation)
    if (params['bleed-beyond'] === 'paper') bareBeyond(picture, plan.derivation, context.master)
    context.checkCancelled()
    const { mark, ppi } = params
    const px = (mm: number) => Math.max(1, Math.round((mm / 25.4) * MARK_PPI))
    const largest = mark && { width: px(LONGEST_MARK_MM), height: px(toMm(mark.height, ppi)) }
    const placed = mark && (await context.readPicture(mark.file, largest!, plan.derivation.space))
    await context.writePdf(plan.path, composeCard(params, plan, context.master, picture, placed))
  },
}
