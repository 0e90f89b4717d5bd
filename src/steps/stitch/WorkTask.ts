import type { ReadContext } from '../contract.js'
import type { Placement } from './Placement.js'
import type { Alignment } from './place/alignPlacement.js'
import type { Features } from './place/features/findFeatures.js'
import type { Link } from './place/Link.js'
import type { LinkRequest } from './place/linkOf.js'
import type { PairMatches } from './refine/measurePair.js'
import type { MeasuredViews } from './refine/measureViews.js'
import type { SharpnessAsk } from './seams/measureSharpness.js'
import type { SharpnessPair } from './seams/sharper.js'
import type { Upright } from './views/Upright.js'
import type { View, ViewSize } from './views/View.js'

/** Two captures and where one lies on the other. */
export interface PairAsk {
  first: number
  second: number
  views: readonly [View, View]
  map: Placement
  kind: ReadContext['kind']
}

/** The parts of a reading that workers do, each with its answer. */
export interface Work {
  /** A capture's reduced view and its features. One pass over the capture. */
  view: {
    ask: { index: number; upright: Upright; size: ViewSize }
    answer: { view: View; features: Features }
  }
  /** Whether features tell how one capture lies on another. */
  link: { ask: LinkRequest; answer: Link | undefined }
  /** How well two reduced views agree at a level, and what their windows say; undefined where they share too little. */
  compare: {
    ask: PairAsk & { level: number }
    answer: { alignment: Alignment; measured: MeasuredViews } | undefined
  }
  /** What windows at full resolution say. */
  measure: { ask: PairAsk; answer: PairMatches }
  /** How sharp two captures are against each other. */
  sharpness: { ask: SharpnessAsk; answer: SharpnessPair }
}

export type WorkName = keyof Work
export type WorkTask = { [K in WorkName]: { part: K } & Work[K]['ask'] }[WorkName]

/** Has parts of one kind done over the pool; answers in the order asked. */
export const askWork = <K extends WorkName>(
  context: ReadContext,
  part: K,
  asks: readonly Work[K]['ask'][],
  onShare?: (share: number) => void,
): Promise<Work[K]['answer'][]> =>
  context.work(
    asks.map((ask) => ({ part, ...ask })),
    onShare,
  ) as Promise<Work[K]['answer'][]>
