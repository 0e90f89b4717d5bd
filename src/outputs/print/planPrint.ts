import { RequestError } from '../../errors.js'
import type { Finding } from '../../findings.js'
import type { Rect } from '../../raster/Rect.js'
import { MM_PER_INCH, toMm } from '../../units.js'
import type { Derivation, MasterInfo, Plan, PlannedFile } from '../contract.js'
import { bleedFindings, refuseBleed, SAFE_MM } from '../shared/bleed.js'
import { cropFindings, cutShare } from '../shared/cropFindings.js'
import { keptOf } from '../shared/cropTo.js'
import { resolutionFindings } from '../shared/describeResolution.js'
import { targetOf } from '../shared/params.js'
import { sharpnessFindings } from '../shared/sharpnessFindings.js'
import { sizeWords } from '../shared/words.js'
import { solveSharpening } from '../sharpening/solveSharpening.js'
import { layoutPrint, type PrintLayout } from './layoutPrint.js'
import type { PrintParams } from './params.js'
import { printTicket } from './printTicket.js'

/** Longest side that the common JPEG library encodes (JPEG_MAX_DIMENSION); the format could state 65,535. */
const JPEG_LONGEST_PX = 65_500
/** What a classic TIFF can address (TIFF 6.0: offsets of 32 bits); larger ones are written as BigTIFF. */
const CLASSIC_TIFF_BYTES = 2 ** 32
/** Above this a derivative is a slip of the unit rather than a print: A0 at 600 ppi has 0.56 gigapixels. */
const MOST_PIXELS = 1_000_000_000
/** Bytes a sample on disk, as a share of the uncompressed: rough. */
const COMPRESSED = { tif: 1, png: 0.75, jpg: 0.25 }

export interface PrintPlan extends Plan {
  derivation: Derivation
  depth: 8 | 16
  path: string
  /** The whole sheet in pixels and the picture's corner on it, where the sheet is what is written. */
  sheetPx?: { width: number; height: number; x: number; y: number }
}

/** Where a print's file lies in the output folder. */
export function printPath({ name, format }: PrintParams): string {
  return `prints/${name}.${format}`
}

/**
 * All sizes of a print, its file, its ticket and its findings; no pixel is touched.
 * @throws RequestError for what cannot be made
 */
export function planPrint(params: PrintParams, master: MasterInfo): PrintPlan {
  const layout = layoutPrint(params, master)
  const { picture, sheet, effectivePpi, viewingMm } = layout
  const { ppi, format } = params
  const px = (mm: number) => Math.round((mm / MM_PER_INCH) * ppi)
  const bleedMm = toMm(params.bleed, ppi)
  refuseBleed(`print ${params.name}`, bleedMm)
  const { width, height, crop } = withBleed(layout, bleedMm, px)
  // With a bleed the picture is the sheet and goes beyond it.
  const sheetPx =
    params['sheet-file'] && sheet && bleedMm === 0 ? sheetPixels(layout, { width, height }, px) : undefined
  const written = sheetPx ?? { width, height }
  refuseSize(params, written)

  const depth = params.depth ?? (format === 'jpg' ? 8 : 16)
  const space = params.space ?? master.space
  const path = printPath(params)
  const target = targetOf(params.sharpening)
  const chain = {
    // What is resampled is pixels to pixels: this is the file's own, rounding of its size included.
    effectivePpi: (crop.width / width) * ppi,
    ...{ ppi, viewingMm, inkSpreadMm: toMm(params['ink-spread'], ppi) },
  }
  const solved = solveSharpening(chain, target, master.reliefLeft)
  const file: PlannedFile = {
    ...{ kind: 'print', name: params.name, path, ...size(written), ppi },
    widthMm: (written.width / ppi) * MM_PER_INCH,
    heightMm: (written.height / ppi) * MM_PER_INCH,
    ...{ effectivePpi, space, depth },
    cutShare: cutShare(layout.crop, master),
    bytes: Math.round(written.width * written.height * 3 * (depth / 8) * COMPRESSED[format]) + 4096,
  }
  return {
    derivation: { crop, width, height, sharpening: solved.sharpening, space },
    ...{ depth, path, sheetPx },
    files: [file],
    ticket: printTicket(params, layout, file),
    findings: [
      sizeFinding(layout),
      ...formatFindings(params, file),
      ...resolutionFindings(effectivePpi, viewingMm, master),
      ...cropFindings(
        ...([layout.crop, master, 'filling the sheet', focusOf(params, master)] as const),
        bleedMm > 0 ? (SAFE_MM * layout.crop.width) / picture.width : 0,
      ),
      ...bleedFindings(bleedMm, crop, layout.crop.width / picture.width, master, params['bleed-beyond']),
      ...sharpnessFindings(chain, solved, target),
    ],
  }
}

/** The picture's pixels with its bleed, and what of the master that is: trim and bleed are whole pixels each. */
function withBleed(
  { picture, crop }: PrintLayout,
  bleedMm: number,
  px: (mm: number) => number,
): { width: number; height: number; crop: Rect } {
  const trim = { width: Math.max(1, px(picture.width)), height: Math.max(1, px(picture.height)) }
  const bleed = px(bleedMm)
  const [beyondX, beyondY] = [(bleed * crop.width) / trim.width, (bleed * crop.height) / trim.height]
  return {
    width: trim.width + 2 * bleed,
    height: trim.height + 2 * bleed,
    crop: {
      x: crop.x - beyondX,
      y: crop.y - beyondY,
      width: crop.width + 2 * beyondX,
      height: crop.height + 2 * beyondY,
    },
  }
}

function focusOf(params: PrintParams, master: MasterInfo): Rect | undefined {
  return params.focus && (keptOf(`print ${params.name}`, params, master) as Rect)
}

const size = ({ width, height }: { width: number; height: number }) => ({ width, height })

function sheetPixels(
  { sheet, picture }: PrintLayout,
  { width, height }: { width: number; height: number },
  px: (mm: number) => number,
) {
  // Never smaller than the picture, which rounding alone could do without a border.
  const sheetWidth = Math.max(px(sheet!.widthMm), width)
  const sheetHeight = Math.max(px(sheet!.heightMm), height)
  return {
    width: sheetWidth,
    height: sheetHeight,
    x: Math.min(px(picture.x), sheetWidth - width),
    y: Math.min(px(picture.y), sheetHeight - height),
  }
}

function refuseSize(
  { name, format, ppi }: PrintParams,
  { width, height }: { width: number; height: number },
): void {
  const found = `${width} x ${height} px at ${ppi} ppi`
  if (format === 'jpg' && Math.max(width, height) > JPEG_LONGEST_PX) {
    throw new RequestError({
      what: `print ${name}: too large for a JPEG`,
      ...{ expected: `at most ${JPEG_LONGEST_PX} px a side`, found },
      todo: 'Write format: tif, or lower the ppi',
    })
  }
  if (width * height > MOST_PIXELS) {
    throw new RequestError({
      what: `print ${name}: too large`,
      ...{ expected: `at most ${MOST_PIXELS / 1e9} gigapixels`, found },
      todo: 'Lower the ppi or the size',
    })
  }
}

function sizeFinding({ picture, sheet }: PrintLayout): Finding {
  const on = sheet ? ` on ${sheet.name}, ${sheet.landscape ? 'landscape' : 'upright'}` : ''
  return { kind: 'statement', text: `${sizeWords(picture.width, picture.height)}${on}` }
}

function formatFindings({ format }: PrintParams, { bytes }: PlannedFile): Finding[] {
  if (format !== 'tif' || bytes < CLASSIC_TIFF_BYTES) return []
  return [
    {
      kind: 'statement',
      text: `${(bytes / 1e9).toFixed(1)} GB are more than a classic TIFF holds: written as BigTIFF, which not every program opens`,
    },
  ]
}
