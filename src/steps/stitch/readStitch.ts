import { type Problem, WorkError } from '../../errors.js'
import { MM_PER_INCH } from '../../units.js'
import type { ReadContext } from '../contract.js'
import { layOut, toSheet } from './layout/layOut.js'
import { paperTone } from './light/paperTone.js'
import { type Gain, solveGains } from './light/solveGains.js'
import type { Params } from './params.js'
import type { Pair } from './place/comparePair.js'
import { between, overlap } from './place/overlap.js'
import { type Placing, placeCaptures } from './place/placeCaptures.js'
import type { PairReading, StitchReading } from './Reading.js'
import { STILL } from './Rigid.js'
import { adjust, rms } from './refine/adjust.js'
import { matchByView } from './refine/matchByView.js'
import { type Match, measurePair, type PairMatches } from './refine/measurePair.js'
import { findSeams } from './seams/findSeams.js'
import { takeViews } from './views/takeViews.js'
import { type Upright, uprightOf } from './views/Upright.js'

/** Disagreement of windows, in sheet pixels, beyond which the captures are warned about, and refused. */
const WARN_RMS_PX = 1
const REFUSE_RMS_PX = 3
/** With fewer windows of a pair than this, what its reduced view says is heard too. */
const FEW_WINDOWS = 3
/** With so many painted windows or more, this share not found again is too many. */
const ENOUGH_WINDOWS = 6
const MOST_LOST = 0.6
const FLAT_TODO = 'Capture the sheet lying flat, square to the device and at one resolution'
/** A gain farther from 1 than this is worth a warning. */
const WARN_GAIN = 0.25

/** Finds where every capture lies on the sheet, how light it is, and where the seams run. */
export async function readStitch(params: Params, context: ReadContext): Promise<StitchReading> {
  const { captures } = context
  const stated = captures.map(({ ppi }) => ppi).filter((ppi) => ppi !== undefined)
  const finestPpi = stated.length ? Math.max(...stated) : undefined
  const uprights = captures.map((info) => uprightOf(info, finestPpi))
  if (captures.length === 1) return single(context, uprights[0], finestPpi)
  const statements: string[] = []
  const warnings: string[] = []
  if (context.kind === 'camera') {
    warnings.push(
      'camera frames are joined by shifts and rotations alone; frames taken at a slant will not fit and will be refused',
    )
  }
  if (new Set(stated).size > 1) {
    warnings.push(
      `the captures state different resolutions (${[...new Set(stated)].join(', ')} ppi); all are brought to ${finestPpi} ppi`,
    )
  }

  const views = await takeViews(uprights, context)
  const placing = placeCaptures(views, context)
  context.progress(0.6)
  handleMissing(uprights, placing, params, warnings)
  noteDuplicates(uprights, placing, warnings)

  const matches: Match[] = []
  const byView: Match[] = []
  for (const [k, pair] of placing.pairs.entries()) {
    context.checkCancelled()
    const { first, second } = pair
    const map = between(placing.placements[first]!, placing.placements[second]!)
    const measured = await measurePair(views, { first, second, map }, context)
    refuseOtherScene(uprights, pair, measured)
    matches.push(...measured.matches)
    if (measured.matches.length < FEW_WINDOWS) byView.push(...matchByView(views, pair))
    context.progress(0.6 + (0.3 * (k + 1)) / placing.pairs.length)
  }
  const adjusted = adjust(placing.placements, [...matches, ...byView])
  const { placements } = adjusted
  const residuals = adjusted.residuals.slice(0, matches.length)
  const misplacementRmsPx = rms(residuals)
  const pairs = placing.pairs.map((pair) => describePair(uprights, placements, pair, matches, residuals))
  judge(uprights, pairs, misplacementRmsPx, matches.length, warnings)

  const layout = layOut(uprights, placements)
  const gains = solveGains(views, placements, placing.pairs)
  noteGains(uprights, gains, warnings)
  const seams = findSeams(views, layout, gains)
  const used = placements.map((placement) => placement !== undefined)
  const fill = paperTone(views, used, gains)
  const ppi = resolution(context, layout, finestPpi, statements)
  statements.push(
    `rigid placement: each capture moves and rotates as a whole, at the scale its resolution states`,
    `the sheet is square to the mean axis of its captures, ${layout.width} x ${layout.height} pixels`,
  )
  if (seams.uncoveredShare > 0) {
    statements.push(
      `what no capture holds (${percent(seams.uncoveredShare)}) is filled with the paper's tone, ${fill.map((value) => value.toFixed(3)).join(', ')} in linear light`,
    )
  }
  context.progress(1)
  return {
    width: layout.width,
    height: layout.height,
    ppi,
    captures: uprights.map((upright, i) => {
      const { label, turned, width, height } = context.captures[i]
      const placement = layout.placements[i]
      const placed = placement && {
        toSheet: toSheet(upright, placement),
        rotationDeg: (placement.angle * 180) / Math.PI,
        gain: gains[i],
      }
      return { label, turned, width, height, ...(placed ? { placed } : {}) }
    }),
    pairs,
    misplacementRmsPx,
    windows: matches.length,
    outliers: residuals.filter(({ weight }) => weight === 0).length,
    overlapShare: seams.overlapShare,
    uncoveredShare: seams.uncoveredShare,
    fill,
    seams: seams.map,
    statements,
    warnings,
  }
}

/** One capture: nothing to join, at most a turn. */
function single(context: ReadContext, upright: Upright, finestPpi: number | undefined): StitchReading {
  const { label, turned, width, height } = context.captures[0]
  const layout = layOut([upright], [STILL])
  const statements = [
    turned
      ? `one capture only: nothing to join; it is turned back by ${turned} degrees and not resampled`
      : 'one capture only: nothing to join, its pixels are left as they are',
  ]
  return {
    width: layout.width,
    height: layout.height,
    ppi: resolution(context, layout, finestPpi, statements),
    captures: [
      {
        ...{ label, turned, width, height },
        placed: { toSheet: toSheet(upright, layout.placements[0]!), rotationDeg: 0, gain: [1, 1, 1] },
      },
    ],
    pairs: [],
    misplacementRmsPx: 0,
    windows: 0,
    outliers: 0,
    overlapShare: 0,
    uncoveredShare: 0,
    fill: [1, 1, 1],
    seams: { cellPx: Math.max(layout.width, layout.height), width: 1, height: 1, runs: [0, 1] },
    statements,
    warnings: [],
  }
}

const percent = (share: number) => `${(share * 100).toFixed(share < 0.001 ? 3 : 1)} %`

function handleMissing(
  uprights: readonly Upright[],
  placing: Placing,
  params: Params,
  warnings: string[],
): void {
  const missing = uprights.map((_, i) => i).filter((i) => !placing.placements[i])
  if (!missing.length) return
  const words = missing.map((i) => missingProblem(uprights, i, placing))
  const placed = uprights.length - missing.length
  if (!params['allow-missing'] || placed < 2) {
    throw new WorkError(
      words.map((problem) => ({
        ...problem,
        todo: 'Capture it again so that it shares at least 8 % with a neighbour, painted structure included; if the sheet lay turned, state turned; take it out of captures.files if it is of another sheet; or set stitch: { allow-missing: true } to go on without it',
      })),
    )
  }
  for (const { what, found } of words) warnings.push(`${what}; it was left out (${found})`)
}

function missingProblem(
  uprights: readonly Upright[],
  index: number,
  { best, contradicting }: Placing,
): Problem {
  const pair: Pair | undefined =
    contradicting.find(({ first, second }) => first === index || second === index) ?? best[index]
  const { label } = uprights[index]
  const what = `${label} finds no place on the sheet`
  if (!pair) return { what, found: 'no other capture resembles any part of it' }
  const other = uprights[pair.first === index ? pair.second : pair.first].label
  const score = `best candidate ${other}, correlation ${pair.alignment.correlation.toFixed(2)}, significance ${pair.significance.toFixed(1)}`
  return {
    what,
    expected: 'a correlation of at least 0.30 and a significance of at least 8 with a neighbour',
    found: pair.ambiguous ? `${score}, but it fits in more than one place` : score,
  }
}

/** Captures of the same place, lying the same way: the second adds nothing. */
function noteDuplicates(
  uprights: readonly Upright[],
  { pairs, placements }: Placing,
  warnings: string[],
): void {
  for (const { first, second } of pairs) {
    const [a, b] = [uprights[first], uprights[second]]
    const map = between(placements[first]!, placements[second]!)
    const { areaPx } = overlap(a, b, map)
    const area = (u: Upright) => u.width * u.height * u.scale * u.scale
    if (a.turned === b.turned && areaPx > 0.97 * Math.max(area(a), area(b))) {
      warnings.push(
        `${b.label} shows the same place as ${a.label} and lay the same way: it adds nothing. Take it out, or state turned if the sheet was turned`,
      )
    }
  }
}

function describePair(
  uprights: readonly Upright[],
  placements: ReturnType<typeof adjust>['placements'],
  { first, second, alignment }: Pair,
  matches: readonly Match[],
  residuals: ReturnType<typeof adjust>['residuals'],
): PairReading {
  const own = residuals.filter((_, k) => matches[k].first === first && matches[k].second === second)
  const map = between(placements[first]!, placements[second]!)
  return {
    first,
    second,
    correlation: alignment.correlation,
    overlapShare: overlap(uprights[first], uprights[second], map).share,
    windows: own.length,
    outliers: own.filter(({ weight }) => weight === 0).length,
    residualRmsPx: rms(own),
  }
}

/** Refuses a pair most of whose painted windows are not found where a flat sheet would have them. */
function refuseOtherScene(
  uprights: readonly Upright[],
  { first, second }: Pair,
  { tried, lost }: PairMatches,
): void {
  if (tried < ENOUGH_WINDOWS || lost <= MOST_LOST * tried) return
  throw new WorkError({
    what: `${uprights[first].label} and ${uprights[second].label} do not fit together as one flat sheet`,
    expected: `most painted places of their common area to be found again after shift and rotation`,
    found: `${lost} of ${tried} that are not`,
    todo: FLAT_TODO,
  })
}

/** Refuses captures that cannot be one flat sheet, and warns about what is doubtful. */
function judge(
  uprights: readonly Upright[],
  pairs: readonly PairReading[],
  rmsPx: number,
  windows: number,
  warnings: string[],
): void {
  const names = ({ first, second }: PairReading) => `${uprights[first].label} and ${uprights[second].label}`
  for (const pair of pairs) {
    if (pair.windows === 0) {
      warnings.push(
        `${names(pair)} share nothing that fixes their place to a fraction of a pixel; they are placed by the reduced view alone`,
      )
      continue
    }
    const lost = pair.outliers / pair.windows
    if (pair.residualRmsPx > REFUSE_RMS_PX || (pair.windows >= 8 && lost > MOST_LOST)) {
      throw new WorkError({
        what: `${names(pair)} do not fit together as one flat sheet`,
        expected: `windows of their common area to agree within ${REFUSE_RMS_PX} px after shift and rotation`,
        found: `${pair.residualRmsPx.toFixed(1)} px, with ${pair.outliers} of ${pair.windows} windows elsewhere`,
        todo: FLAT_TODO,
      })
    }
    if (pair.residualRmsPx > WARN_RMS_PX || (pair.windows >= 8 && lost > 0.3)) {
      warnings.push(
        `${names(pair)} agree only within ${pair.residualRmsPx.toFixed(1)} px (${pair.outliers} of ${pair.windows} windows left out); look at their seam`,
      )
    }
  }
  if (windows && rmsPx > WARN_RMS_PX) {
    warnings.push(`the captures agree only within ${rmsPx.toFixed(1)} px; is the sheet flat?`)
  }
}

function noteGains(uprights: readonly Upright[], gains: readonly Gain[], warnings: string[]): void {
  for (const [i, gain] of gains.entries()) {
    const worst = gain.reduce(
      (most, value) => (Math.abs(Math.log(value)) > Math.abs(Math.log(most)) ? value : most),
      1,
    )
    if (Math.abs(Math.log(worst)) > Math.log(1 + WARN_GAIN)) {
      warnings.push(
        `${uprights[i].label} is exposed very differently from the others (matched by a factor of ${worst.toFixed(2)}); what it clipped is lost`,
      )
    }
  }
}

/** From the sheet's stated size where there is one, else the finest capture's. */
function resolution(
  { sheetSizeMm }: ReadContext,
  { width, height }: { width: number; height: number },
  finestPpi: number | undefined,
  statements: string[],
): number | undefined {
  const measured = sheetSizeMm?.width
    ? (width / sheetSizeMm.width) * MM_PER_INCH
    : sheetSizeMm?.height
      ? (height / sheetSizeMm.height) * MM_PER_INCH
      : undefined
  if (!measured) return finestPpi
  const against = finestPpi ? `; the captures say ${finestPpi}` : ''
  statements.push(`scale from the stated size of the sheet: ${measured.toFixed(1)} ppi${against}`)
  return measured
}
