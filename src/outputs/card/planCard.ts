import type { Finding } from '../../findings.js'
import type { Rect } from '../../raster/Rect.js'
import { MM_PER_INCH, toMm } from '../../units.js'
import type { Beside, Derivation, MasterInfo, Plan, PlannedFile } from '../contract.js'
import { bleedFindings, SAFE_MM } from '../shared/bleed.js'
import { cropFindings, cutShare } from '../shared/cropFindings.js'
import { keptOf } from '../shared/cropTo.js'
import { resolutionFindings } from '../shared/describeResolution.js'
import { targetOf } from '../shared/params.js'
import { sharpnessFindings } from '../shared/sharpnessFindings.js'
import { sizeWords } from '../shared/words.js'
import { solveSharpening } from '../sharpening/solveSharpening.js'
import { cardTicket } from './cardTicket.js'
import { layoutBack } from './layoutBack.js'
import { type CardLayout, layoutCard } from './layoutCard.js'
import type { CardParams } from './params.js'
import { insideLines } from './reverseOf.js'

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
export function planCard(params: CardParams, master: MasterInfo, beside: Beside = new Map()): CardPlan {
  const layout = layoutCard(params, master)
  const { picture, crop, shown, effectivePpi, viewingMm, flat, bleedMm } = layout
  const pxPerMm = crop.width / picture.width
  const { ppi } = params
  const width = Math.max(1, Math.round((picture.width / MM_PER_INCH) * ppi))
  const height = Math.max(1, Math.round((picture.height / MM_PER_INCH) * ppi))
  // Said before anything is rendered, where text or mark do not fit.
  layoutBack(params, flat, { x: 0, y: 0 }, params.mark && beside.get(params.mark.file))
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
    ticket: cardTicket(params, layout, file),
    findings: [
      ...layoutFindings(params, layout),
      ...(params.image === 'fill'
        ? bleedFindings(bleedMm, crop, pxPerMm, master, params['bleed-beyond'], flat.cut)
        : []),
      ...cropFindings(
        ...([shown, master, 'filling the front', focusOf(params, master)] as const),
        params.image === 'fill' ? SAFE_MM * pxPerMm : 0,
      ),
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
    flat.fold === 'none'
      ? `flat, ${landscape ? 'landscape' : 'portrait'}`
      : orientation === 'tent'
        ? 'tent, folded on top, the picture on both sides'
        : landscape
          ? 'landscape, folded on top'
          : 'portrait, folded at the left'
  const opened = flat.fold === 'none' ? '' : `, flat ${sizeWords(flat.widthMm, flat.heightMm)}`
  return [
    {
      kind: 'statement',
      text: `${shape}: ${sizeWords(flat.front.width, flat.front.height)}${opened}`,
    },
    { kind: 'number', name: `cards on ${sheet.name}`, value: pieces.length, unit: '' },
  ]
}
