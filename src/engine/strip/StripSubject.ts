import type { Derivation, MasterInfo } from '../../outputs/contract.js'
import type { StripContent } from '../../outputs/strip/StripContent.js'
import type { ChainStage } from '../Chain.js'
import type { Ranks } from '../chooseDetails.js'

/** What a strip varies: either a step's params, or the sharpening of an output. Made before any pixel is read. */
export type StripSubject = { name: string } & (StepSubject | SharpeningSubject)

interface StepSubject {
  content: Omit<StripContent, 'columns'>
  /** What its places should show, where not the usual. */
  ranks?: Ranks
  /** A row's stages, from the pipeline's own. */
  stages(row: number, stages: readonly ChainStage[]): ChainStage[]
}

interface SharpeningSubject {
  /** What the rows show, once the master's size is known. */
  derived(master: MasterInfo): {
    content: Omit<StripContent, 'columns'>
    /** Without sharpening. */
    derivation: Derivation
    ppi: number
    sharpenings: Derivation['sharpening'][]
  }
}
