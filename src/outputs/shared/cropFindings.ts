import type { Finding } from '../../findings.js'
import type { Rect } from '../../raster/Rect.js'
import { MM_PER_INCH } from '../../units.js'
import type { MasterInfo, PaintedMap } from '../contract.js'
import { mmWords } from './words.js'

/** From this share of the painted area on, what a crop loses is a warning rather than a fact. */
const NOTABLE_SHARE = 0.005
/** The same of the picture, where nobody has looked where it is painted. */
const NOTABLE_SHARE_UNSEEN = 0.02

/** Share of a picture's area that a crop leaves out, or undefined where it keeps all. */
export function cutShare(crop: Rect, picture: { width: number; height: number }): number | undefined {
  const lost = 1 - (crop.width * crop.height) / (picture.width * picture.height)
  return lost < 1e-6 ? undefined : lost
}

/**
 * How much of a picture a crop loses, on which sides, and whether paint is among it; nothing where it keeps all.
 * @param crop inside the picture
 * @param why what crops it: `filling the sheet`
 * @param focus what was to be kept, where something was
 * @param safePx where the picture is cut, nothing that matters should lie nearer to its edge than this, in its pixels
 */
export function cropFindings(
  crop: Rect,
  master: MasterInfo,
  why: string,
  focus?: Rect,
  safePx = 0,
): Finding[] {
  const nearEdge = focus ? focusNearEdge(crop, focus, safePx, master) : []
  const lost = cutShare(crop, master)
  if (lost === undefined) return nearEdge
  const sides = [
    ['left', crop.x / master.width],
    ['right', 1 - (crop.x + crop.width) / master.width],
    ['top', crop.y / master.height],
    ['bottom', 1 - (crop.y + crop.height) / master.height],
  ] as const
  const where = sides
    .filter(([, part]) => part > 0.0005)
    .map(([side, part]) => `${(part * 100).toFixed(1)} % at the ${side}`)
  const text = `${why} cuts ${(lost * 100).toFixed(1)} % of the picture: ${where.join(', ')}`
  const findings: Finding[] = [paintFinding(crop, master, text, lost)]
  if (focus && outside(focus, crop) > 1e-3) {
    findings.push({
      kind: 'warning',
      text: `${why} cannot keep all of the focus: ${(outside(focus, crop) * 100).toFixed(0)} % of it are cut; take another shape of paper, or image: fit`,
    })
  } else findings.push(...nearEdge)
  return findings
}

/** A focus that reaches into the safe margin is cut into where the knife is not exact. */
function focusNearEdge(crop: Rect, focus: Rect, safePx: number, { ppi }: MasterInfo): Finding[] {
  const room = Math.min(
    focus.x - crop.x,
    focus.y - crop.y,
    crop.x + crop.width - focus.x - focus.width,
    crop.y + crop.height - focus.y - focus.height,
  )
  if (safePx === 0 || room >= safePx) return []
  const mm = (px: number) => mmWords((px / ppi) * MM_PER_INCH)
  const text = `the focus comes within ${mm(Math.max(0, room))} mm of the cut, measured on the original; the safe margin is ${mm(safePx)} mm there`
  return [{ kind: 'warning', text }]
}

function paintFinding(crop: Rect, master: MasterInfo, text: string, lost: number): Finding {
  if (!master.painted) return { kind: lost > NOTABLE_SHARE_UNSEEN ? 'warning' : 'statement', text }
  const paint = paintOutside(crop, master, master.painted)
  if (paint <= NOTABLE_SHARE) return { kind: 'statement', text: `${text}; it is unpainted` }
  const share = (paint * 100).toFixed(1)
  return {
    kind: 'warning',
    text: `${text}; ${share} % of what is painted is lost. Choose what to keep with anchor or focus, or image: fit`,
  }
}

/** Share of the painted area that lies outside a crop. */
function paintOutside(
  crop: Rect,
  { width, height }: { width: number; height: number },
  { columns, rows, cells }: PaintedMap,
): number {
  let all = 0
  let kept = 0
  for (let j = 0; j < rows; j++) {
    for (let i = 0; i < columns; i++) {
      const cell = {
        x: (i / columns) * width,
        y: (j / rows) * height,
        width: width / columns,
        height: height / rows,
      }
      const painted = cells[j * columns + i]
      all += painted
      kept += painted * (1 - outside(cell, crop))
    }
  }
  return all === 0 ? 0 : 1 - kept / all
}

/** Share of a rectangle that lies outside another. */
function outside(rect: Rect, other: Rect): number {
  const width = Math.min(rect.x + rect.width, other.x + other.width) - Math.max(rect.x, other.x)
  const height = Math.min(rect.y + rect.height, other.y + other.height) - Math.max(rect.y, other.y)
  return 1 - (Math.max(0, width) * Math.max(0, height)) / (rect.width * rect.height)
}
