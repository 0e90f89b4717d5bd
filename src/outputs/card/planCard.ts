import type { Finding } from '../../findings.js'
import type { Rect } from '../../raster/Rect.js'
import { MM_PER_INCH, toMm } from '../../units.js'
import type { Derivation, MasterInfo, Plan, PlannedFile } from '../contract.js'
import { cropFindings, cutShare } from '../shared/cropFindings.js'
import { keptOf } from '../shared/cropTo.js'
import { resolutionFindings } from '../shared/describeResolution.js'
import { targetOf } from '../shared/params.js'
import { sharpnessFindings } from '../shared/sharpnessFindings.js'
import { mmWords, sizeWords } from '../shared/words.js'
import { solveSharpening } from '../sharpening/solveSharpening.js'
import { insideLines } from './insideLines.js'
import { type CardLayout, layoutCard } from './layoutCard.js'
import type { CardParams } from './params.js'
import { SAFE_MM, textLines } from './textLines.js'

/** Share of the picture's bytes that lossless compression leaves: rough. */
const COMPRESSED = 0.7
/** The embedded typeface and profile: rough. */
const OVERHEAD_BYTES = 60_000

export interface CardPlan extends Plan {
  layout: CardLayout
  derivation: Derivation
  path: string
}

/** Where a card's file lies in the output folder. */
export function cardPath({ name }: CardParams): string {
  return `cards/${name}.pdf`
}

/**
 * All sizes of a card, its file, its ticket and its findings; no pixel is touched.
 * @throws RequestError for what cannot be made
 */
export function planCard(params: CardParams, master: MasterInfo): CardPlan {
  const layout = layoutCard(params, master)
  const { picture, crop, shown, effectivePpi, viewingMm, flat } = layout
  const { ppi } = params
  const width = Math.max(1, Math.round((picture.width / MM_PER_INCH) * ppi))
  const height = Math.max(1, Math.round((picture.height / MM_PER_INCH) * ppi))
  // Said before anything is rendered, where the text does not fit.
  textLines(`card ${params.name}: back`, params.back, flat.back, flat.backTurned)
  insideLines(params, flat, { x: 0, y: 0 })

  const target = targetOf(params.sharpening)
  const chain = {
    effectivePpi: (crop.width / width) * ppi,
    ...{ ppi, viewingMm, inkSpreadMm: toMm(params['ink-spread'], ppi) },
  }
  const solved = solveSharpening(chain, target, master.reliefLeft)
  const space = params.space ?? master.space
  const path = cardPath(params)
  const file: PlannedFile = {
    ...{ kind: 'card', name: params.name, path, width, height, ppi },
    ...{ widthMm: picture.width, heightMm: picture.height, effectivePpi, space, depth: 8 },
    cutShare: cutShare(shown, master),
    bytes: Math.round(width * height * 3 * COMPRESSED) + OVERHEAD_BYTES,
  }
  return {
    layout,
    path,
    derivation: { crop, width, height, sharpening: solved.sharpening, space },
    files: [file],
    ticket: ticketLines(params, layout, file),
    findings: [
      ...layoutFindings(params, layout),
      ...bleedFindings(params, layout, master),
      ...cropFindings(shown, master, 'filling the front', focusOf(params, master)),
      ...resolutionFindings(effectivePpi, viewingMm, master),
      ...sharpnessFindings(chain, solved, target),
    ],
  }
}

function focusOf(params: CardParams, master: MasterInfo): Rect | undefined {
  return params.focus && (keptOf(`card ${params.name}`, params, master) as Rect)
}

function layoutFindings({ orientation }: CardParams, { flat, imposition, landscape }: CardLayout): Finding[] {
  const { sheet, pieces } = imposition
  const shape =
    orientation === 'tent'
      ? 'tent, folded on top, the picture on both sides'
      : landscape
        ? 'landscape, folded on top'
        : 'portrait, folded at the left'
  return [
    {
      kind: 'statement',
      text: `${shape}: ${sizeWords(flat.front.width, flat.front.height)}, flat ${sizeWords(flat.widthMm, flat.heightMm)}`,
    },
    { kind: 'number', name: `cards on ${sheet.name}`, value: pieces.length, unit: '' },
  ]
}

const BEYOND = { mirrored: 'mirrored at its edge', paper: 'and are bare paper' }

function bleedFindings(
  params: CardParams,
  { crop, bleedMm, flat }: CardLayout,
  master: MasterInfo,
): Finding[] {
  if (params.image !== 'fill' || bleedMm === 0) return []
  const { cut } = flat
  const pxPerMm = crop.width / (flat.front.width + (cut.left ? bleedMm : 0) + bleedMm)
  const missing = [
    ['left', -crop.x],
    ['right', crop.x + crop.width - master.width],
    ['top', -crop.y],
    ['bottom', crop.y + crop.height - master.height],
  ] as const
  const mirrored = missing
    .map(([side, px]) => [side, px / pxPerMm] as const)
    .filter(([side, mm]) => cut[side] && mm > 0.01)
    .map(([side, mm]) => `${mmWords(mm)} mm at the ${side}`)
  const text = mirrored.length
    ? `the ${mmWords(bleedMm)} mm of bleed go on with the picture, ${BEYOND[params['bleed-beyond']]} where there is no more of it: ${mirrored.join(', ')}`
    : `the ${mmWords(bleedMm)} mm of bleed go on with the picture on all sides`
  return [{ kind: 'statement', text }]
}

function ticketLines(params: CardParams, layout: CardLayout, file: PlannedFile): string[] {
  const { flat, imposition, bleedMm, format, viewingMm } = layout
  const { sheet, pieces } = imposition
  const across = flat.fold === 'level'
  return [
    `- File: \`${file.path}\`, ${params.inside === 'blank' ? 'one page' : 'two pages'}; pictures ${file.width} x ${file.height} px at ${file.ppi} ppi, ${file.space}`,
    `- Print sheet: ${sheet.name}, ${sizeWords(sheet.widthMm, sheet.heightMm)}, ${sheet.landscape ? 'landscape' : 'upright'}; ${pieces.length} ${pieces.length === 1 ? 'card' : 'cards'} on it; print it at 100 %`,
    ...pieces.map(
      ({ x, y, width, height }, i) =>
        `- ${pieces.length > 1 ? `Card ${i + 1}` : 'Flat card'}: ${sizeWords(width, height)}, ${mmWords(x)} mm from the left and ${mmWords(y)} mm from the top, trimmed; ${mmWords(bleedMm)} mm of bleed around`,
    ),
    ...(params.inside === 'blank'
      ? []
      : [
          '- Second page: the inside. Turn the sheet over sideways, left edge to right (work and turn), and print it on the back; hold both against the light to see that they meet',
        ]),
    `- Paper and side: ${params.media || 'the printable side up; where the inside is printed, a paper coated on both sides'}`,
    `- Grain: along the fold, that is ${across ? 'from left to right' : 'from top to foot'} of the sheet as it lies, or the fold cracks`,
    '- Profile: the one made for this printer, ink and paper; the pictures carry their own space and must be converted from it',
    '- Intent: relative colorimetric with black point compensation; perceptual where deep or bright colours run together',
    '- Cut along the solid marks once dry; then score and fold along the dashed ones, with the picture outside',
    `- Folded: ${sizeWords(flat.front.width, flat.front.height)}, for an envelope ${format.envelope}; looked at from ${Math.round(viewingMm)} mm; nothing that matters nearer than ${SAFE_MM} mm to an edge`,
  ]
}
