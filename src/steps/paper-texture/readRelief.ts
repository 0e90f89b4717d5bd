import { WorkError } from '../../errors.js'
import { powerSpectrum } from '../../raster/fft/powerSpectrum.js'
import type { Rect } from '../../raster/Rect.js'
import type { Source } from '../../raster/Source.js'
import type { Tile } from '../../raster/Tile.js'
import { blankRegions } from '../blankRegions.js'
import type { ReadContext } from '../contract.js'
import { savedReading } from '../savedReading.js'
import { bareWindows } from './bareWindows.js'
import { alike, chooseBlank, FEWEST_BLANK, FEWEST_WINDOWS } from './chooseBlank.js'
import { type ColourNoise, colourNoise } from './colourNoise.js'
import { defaultFilter } from './defaultFilter.js'
import { logLuminance } from './logLuminance.js'
import { measureLeak } from './measureLeak.js'
import { paperLook } from './paperLook.js'
import type { Params } from './params.js'
import type { ReliefReading } from './Reading.js'
import { readingSchema } from './readingSchema.js'
import { reliefShape } from './reliefShape.js'
import { isPattern, reliefTint } from './reliefTint.js'
import { rescaledSpectrum } from './rescaledSpectrum.js'
import { sampleGrid } from './sampleGrid.js'
import { fromHalfPlane, meanSpectrum, toHalfPlane } from './spectrum.js'
import { varianceOf, type WindowFacts, windowFacts } from './windowFacts.js'
import { withoutRelief } from './withoutRelief.js'

const N = 64
/** Windows looked at: enough to find small islands, few enough not to be felt beside the pass over the picture. */
const MOST_WINDOWS = 2300
const WINDOWS_A_BATCH = 256
/**
 * Where an earlier step left no more relief than this, as a share of the light, noise and pigment outweigh it: learned and
 * taken off once more it cost painted pairs 3 to 5 dB.
 */
const LITTLE_LEFT = 0.01
/** Blank windows that the sheet's colour and the colour noise are learned from. */
const BARE_TILES = 48
/** Below this the sheet counts as smooth, per cent of the light. */
const LEAST_RELIEF_PERCENT = 0.3
/** What is no stronger than this and as flat as this in its spectrum is taken for the noise of the capture. */
const MOST_NOISE_PERCENT = 1.5
const MOST_FLATNESS = 0.7

/**
 * Learns the relief: finds blank paper, and takes the mean power of its log luminance.
 * @throws WorkError where the sheet has no place even enough, or the picture is smaller than one window
 */
export async function readRelief(
  source: Source,
  params: Params,
  context: ReadContext,
): Promise<ReliefReading> {
  const { reliefLeft = Number.POSITIVE_INFINITY } = context
  // What a reading from another sheet says of the relief does not hold for what is left of it here.
  if (reliefLeft < LITTLE_LEFT) return alreadyGone(reliefLeft, context.ppi)
  const reading = await learned(source, params, context)
  if (!reading.textured || params.strength === 0) return reading
  const cleaned = withoutRelief(
    source,
    defaultFilter(fromHalfPlane(reading.spectrum, N), reading.tint, reading.noise, reading.paper, params),
  )
  return { ...reading, leakPercent: round(measureLeak(source, cleaned, reading.reliefRmsPercent), 2) }
}

async function learned(source: Source, params: Params, context: ReadContext): Promise<ReliefReading> {
  if (params.reading) {
    return reused(
      savedReading(
        await context.auxiliaryText(params.reading),
        params.reading,
        'paper-texture',
        readingSchema,
      ),
      context.ppi,
    )
  }
  const whole = { x: 0, y: 0, width: source.width, height: source.height }
  const named =
    params.blank === 'auto' ? undefined : blankRegions(params.blank, source, context.ppi, N, 'paper-texture')
  const rects = named
    ? named.flatMap((area) => sampleGrid(area, N, MOST_WINDOWS / named.length))
    : sampleGrid(whole, N, MOST_WINDOWS)
  const all = await measured(rects, context)
  const warnings: string[] = []
  const choice = named ? { basis: 'regions' as const, used: alike(all), blank: all } : chooseBlank(all)
  if (named && choice.used.length < 0.5 * all.length) {
    warnings.push(
      `Only ${choice.used.length} of ${all.length} windows in the named blank regions look alike; there may be paint in them.`,
    )
  }
  const used = choice.used.length > 0 ? choice.used : named ? all : []
  if (!named && used.length < (choice.basis === 'blank' ? FEWEST_BLANK : FEWEST_WINDOWS)) {
    throw new WorkError({
      where: 'paper-texture',
      what: 'no blank paper and no even wash was found to learn the relief from',
      expected: `at least ${FEWEST_WINDOWS} even places of ${N} x ${N} px`,
      found: `${used.length} of ${all.length} looked at`,
      todo: 'Name blank places with `blank`, give a `reading` from another sheet of the same paper, or leave paper-texture out',
    })
  }
  if (used.length < FEWEST_WINDOWS) {
    warnings.push(`Only ${used.length} windows of blank paper were found; the relief is known roughly.`)
  }
  if (choice.basis === 'washes') {
    warnings.push(
      `No blank paper was found; the relief was learned from ${used.length} even washes and may hold some brush marks.`,
    )
  }
  const spectrum = toHalfPlane(meanSpectrum(used.map(({ power }) => power)), N)
  const power = fromHalfPlane(spectrum, N)
  const shape = reliefShape(power, N)
  const onlyNoise = shape.rmsPercent <= MOST_NOISE_PERCENT && shape.flatness > MOST_FLATNESS
  // Who names blank places knows what is to go.
  const pattern = choice.basis === 'blank' && isPattern(used)
  const textured = shape.rmsPercent >= LEAST_RELIEF_PERCENT && !onlyNoise && !pattern
  // Paint colours its own texture: only blank paper can tell the relief's own colour.
  const bareOnes = choice.basis === 'washes' ? undefined : bareWindows(used)
  const tint = bareOnes ? reliefTint(bareOnes) : ([0, 0] as [number, number])
  const bare = bareOnes && (await tilesOf(bareOnes, context))
  const noise = bare && colourNoise(bare, tint)
  return {
    textured,
    pattern: pattern || undefined,
    basis: choice.basis,
    windowsSampled: all.length,
    windowsUsed: used.length,
    blankShare: round(choice.blank.length / all.length, 4),
    reliefRmsPercent: round(shape.rmsPercent, 3),
    periodPx: round(shape.periodPx, 2),
    directionDeg: round(shape.directionDeg, 1),
    isotropy: round(shape.isotropy, 3),
    tint,
    noise,
    paper: bare && paperLook(bare, tint),
    residualDb: textured ? residual(source, used, power, tint, noise, params.detail) : 0,
    ppi: context.ppi,
    window: N,
    spectrum,
    warnings,
  }
}

async function measured(rects: readonly Rect[], context: ReadContext): Promise<WindowFacts[]> {
  const facts: WindowFacts[] = []
  for (let i = 0; i < rects.length; i += WINDOWS_A_BATCH) {
    context.checkCancelled()
    const tiles = await context.regions(0, rects.slice(i, i + WINDOWS_A_BATCH))
    for (const tile of tiles) facts.push(windowFacts(tile))
    context.progress((0.9 * facts.length) / rects.length)
  }
  return facts
}

/** The reading of a picture whose relief an earlier step took: nothing is done. */
function alreadyGone(reliefLeft: number, ppi: number | undefined): ReliefReading {
  return {
    ...{ textured: false, basis: 'earlier step', windowsSampled: 0, windowsUsed: 0, blankShare: 0 },
    reliefRmsPercent: round(100 * reliefLeft, 3),
    ...{ periodPx: 0, directionDeg: 0, isotropy: 1, tint: [0, 0], residualDb: 0, ppi, window: N },
    spectrum: new Array(N * (N / 2 + 1)).fill(0),
    warnings: [],
  }
}

/** A few of the windows, as pixels. */
function tilesOf(used: readonly WindowFacts[], context: ReadContext): Promise<Tile[]> {
  const some = used.filter((_, i) => i % Math.ceil(used.length / BARE_TILES) === 0)
  return context.regions(
    0,
    some.map(({ rect }) => rect),
  )
}

/** How much is left on a few of the windows after filtering, in dB of RMS. */
function residual(
  source: Source,
  used: readonly WindowFacts[],
  power: Float32Array,
  tint: [number, number],
  noise: ColourNoise | undefined,
  detail: number,
): number {
  const cleaned = withoutRelief(
    source,
    defaultFilter(power, tint, noise, undefined, {
      ...{ strength: 1, detail, 'keep-granulation': 0 },
    }),
  )
  const some = used.filter((_, i) => i % Math.ceil(used.length / 8) === 0)
  let before = 0
  let after = 0
  for (const { rect } of some) {
    before += varianceOf(powerSpectrum(logLuminance(source.region(rect)), N), N)
    after += varianceOf(powerSpectrum(logLuminance(cleaned.region(rect)), N), N)
  }
  return round(10 * Math.log10((after + 1e-12) / (before + 1e-12)), 1)
}

/** A saved reading as it holds here: its spectrum brought to this picture's resolution. */
function reused(reading: ReliefReading, ppi: number | undefined): ReliefReading {
  const warnings: string[] = []
  if (reading.ppi && ppi && Math.abs(ppi / reading.ppi - 1) > 0.005) {
    const power = rescaledSpectrum(fromHalfPlane(reading.spectrum, N), N, N, ppi / reading.ppi)
    warnings.push(`The reading was made at ${reading.ppi} ppi and was rescaled to ${ppi} ppi.`)
    const shape = reliefShape(power, N)
    return {
      ...reading,
      basis: 'reading',
      spectrum: toHalfPlane(power, N),
      reliefRmsPercent: round(shape.rmsPercent, 3),
      periodPx: round(shape.periodPx, 2),
      ppi,
      warnings,
    }
  }
  if (!reading.ppi || !ppi) {
    warnings.push(
      'The reading or this picture states no resolution; the relief is taken as it was, pixel for pixel.',
    )
  }
  return { ...reading, basis: 'reading', warnings }
}

const round = (value: number, digits: number) => Number(value.toFixed(digits))
