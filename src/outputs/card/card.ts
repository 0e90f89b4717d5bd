import type { Output } from '../contract.js'
import { bareBeyond } from './bareBeyond.js'
import { composeCard } from './composeCard.js'
import { type CardParams, cardParams } from './params.js'
import { cardPath, planCard } from './planCard.js'

/** A folded card with bleed, trim and fold marks, as many on a sheet as it holds, as PDF. */
export const card: Output<CardParams> = {
  kind: 'card',
  summary: 'a folded card with bleed, trim and fold marks, as many on a sheet as it holds, as PDF',
  params: cardParams,
  paths: (params) => [cardPath(params)],
  plan(params, master) {
    const { files, ticket, findings } = planCard(params, master)
    return { files, ticket, findings }
  },
  derivation: (params, master) => planCard(params, master).derivation,
  async render(params, context) {
    const plan = planCard(params, context.master)
    const picture = await context.derive(plan.derivation)
    if (params['bleed-beyond'] === 'paper') bareBeyond(picture, plan.derivation, context.master)
    context.checkCancelled()
    await context.writePdf(plan.path, composeCard(params, plan, context.master, picture))
  },
}
