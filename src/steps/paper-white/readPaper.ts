import { xyzD50ToLab } from '../../colour/lab.js'
import { apply3 } from '../../colour/matrix3.js'
import { WORKING_TO_XYZ_D50 } from '../../colour/working.js'
import { WorkError } from '../../errors.js'
import type { Source } from '../../raster/Source.js'
import { blankRegions } from '../blankRegions.js'
import type { ReadContext } from '../contract.js'
import { quantile } from '../shared/quantile.js'
import { FEWEST_SAMPLES, gainsOf, paperField } from './paperField.js'
import { type PaperSample, paperSample } from './paperSample.js'
import type { Params } from './params.js'
import type { PaperReading } from './Reading.js'
import { sampleRects } from './sampleRects.js'
import { scatter } from './scatter.js'
import { surfaceAt } from './surface.js'

/** Window size in pixels, and windows looked at: steps before this one pay for every one of them. */
const N = 32
const MOST_WINDOWS = 480
const WINDOWS_A_BATCH = 96
/** C*ab above which the base tone is hardly paper's: aged and toned papers stay below. */
const MOST_PAPER_CHROMA = 24
/** The same for a tone that no paper ages to: beyond brightened papers' bluish white (common practice). */
const MOST_COOL_CHROMA = 10

/**
 * Finds unpainted paper and measures its tone over the sheet.
 * @throws WorkError where there is none
 */
export async function readPaper(source: Source, params: Params, context: ReadContext): Promise<PaperReading> {
  const { width, height } = source
  const side = Math.max(width, height)
  const named =
    params.blank === 'auto' ? undefined : blankRegions(params.blank, source, context.ppi, N, 'paper-white')
  const rects = named
    ? named.flatMap((area) => sampleRects(area, N, MOST_WINDOWS / named.length))
    : sampleRects({ x: 0, y: 0, width, height }, N, MOST_WINDOWS)
  const all: PaperSample[] = []
  for (let i = 0; i < rects.length; i += WINDOWS_A_BATCH) {
    context.checkCancelled()
    const tiles = await context.regions(0, rects.slice(i, i + WINDOWS_A_BATCH))
    for (const tile of tiles) all.push(paperSample(tile))
    context.progress(all.length / rects.length)
  }
  const field = named ? { used: all, gains: gainsOf(all, source, 2) } : paperField(all, source)
  if (!field) {
    throw new WorkError({
      where: 'paper-white',
      what: 'no unpainted paper was found',
      expected: `at least ${FEWEST_SAMPLES} even, light places of ${N} x ${N} px of one tone`,
      found: `none among ${all.length} looked at`,
      todo: 'Name unpainted places with `blank`, or leave paper-white out',
    })
  }
  const { used, gains } = field
  const spread = scatter(used, gains, side)
  const base = [0, 1, 2].map((c) =>
    round(
      quantile(
        used.map(({ mean }) => mean[c]),
        0.5,
      ),
      5,
    ),
  ) as PaperReading['base']
  const greens = used.map(({ tile: { rect } }) =>
    surfaceAt(gains[1], (rect.x + rect.width / 2) / side, (rect.y + rect.height / 2) / side),
  )
  const uneven = Math.max(...greens) / Math.min(...greens) - 1
  const baseLab = xyzD50ToLab(apply3(WORKING_TO_XYZ_D50, base)).map((v) =>
    round(v, 2),
  ) as PaperReading['baseLab']
  const warnings: string[] = []
  if (base[1] < 0.35) {
    warnings.push('The lightest even places are dark for paper; check that what was taken for unpainted is.')
  }
  const [, a, b] = baseLab
  if (Math.hypot(a, b) > (isWarm(a, b) ? MOST_PAPER_CHROMA : MOST_COOL_CHROMA)) {
    warnings.push(
      'The lightest even places are plainly coloured; check that they are paper and not a wash, or name blank places.',
    )
  }
  if (spread.near.dark >= 0.05 || spread.near.colour >= 0.04) {
    warnings.push('The paper found is uneven from place to place: some of it will keep a trace of tone.')
  }
  return {
    basis: named ? 'regions' : 'auto',
    windowsSampled: all.length,
    windowsUsed: used.length,
    blankShare: round(blankShare(all, gains, spread.near, side), 4),
    base,
    baseLab,
    gains: gains.map((g) => g.map((v) => Number(v.toPrecision(7)))) as PaperReading['gains'],
    unevenPercent: round(100 * uneven, 2),
    ...spread,
    warnings,
  }
}

/** Papers age towards yellow and brown (hue angles 30 to 120 degrees in CIELAB), not towards blue or green. */
const isWarm = (a: number, b: number) => {
  const hueDeg = (Math.atan2(b, a) * 180) / Math.PI
  return hueDeg >= 30 && hueDeg <= 120
}

/** Share of 8 x 8 blocks of the windows whose mean lies within the paper's scatter. */
function blankShare(
  all: readonly PaperSample[],
  gains: PaperReading['gains'],
  near: PaperReading['near'],
  side: number,
): number {
  let blank = 0
  let count = 0
  for (const { tile } of all) {
    const { x, y, width, height } = tile.rect
    const gain = gains.map((g) => surfaceAt(g, (x + width / 2) / side, (y + height / 2) / side))
    for (let by = 0; by < height; by += 8) {
      for (let bx = 0; bx < width; bx += 8) {
        const [r, g, b] = tile.planes.map((plane, c) => {
          let sum = 0
          for (let j = 0; j < 8; j++) for (let i = 0; i < 8; i++) sum += plane[(by + j) * width + bx + i]
          return (gain[c] * sum) / 64
        })
        const dark = Math.max(0, 1 - (0.288 * r + 0.712 * g)) / near.dark
        const colour = Math.hypot(r - g, b - g) / near.colour
        if (Math.hypot(dark, colour) <= 1.5) blank++
        count++
      }
    }
  }
  return count > 0 ? blank / count : 0
}

const round = (value: number, digits: number) => Number(value.toFixed(digits))
