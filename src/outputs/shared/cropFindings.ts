import type { Finding } from '../../findings.js'
import type { Rect } from '../../raster/Rect.js'

/** From this share on, what a crop loses is a warning rather than a fact. */
const NOTABLE_SHARE = 0.02

/**
 * How much of a picture a crop loses, and on which sides; nothing where it keeps all.
 * @param crop inside the picture
 * @param why what crops it: `filling the sheet`
 */
export function cropFindings(crop: Rect, picture: { width: number; height: number }, why: string): Finding[] {
  const lost = 1 - (crop.width * crop.height) / (picture.width * picture.height)
  if (lost < 1e-6) return []
  const sides = [
    ['left', crop.x / picture.width],
    ['right', 1 - (crop.x + crop.width) / picture.width],
    ['top', crop.y / picture.height],
    ['bottom', 1 - (crop.y + crop.height) / picture.height],
  ] as const
  const where = sides
    .filter(([, part]) => part > 0.0005)
    .map(([side, part]) => `${(part * 100).toFixed(1)} % at the ${side}`)
  const text = `${why} cuts ${(lost * 100).toFixed(1)} % of the picture: ${where.join(', ')}`
  return [{ kind: lost > NOTABLE_SHARE ? 'warning' : 'statement', text }]
}
