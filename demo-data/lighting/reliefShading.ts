import type { Rect } from '../../src/raster/Rect.js'

/** Light on a surface: what multiplies the reflectance, and what is added as highlights (1 = perfect diffuser). */
export interface Shading {
  diffuse: Float32Array
  highlight: Float32Array
}

/** Share of the light that comes from all sides (the housing, the room) and casts no relief. */
const AMBIENT = 0.35
/** A facet shines where its normal lies within about this slope of the halfway vector. */
const SHINE_SLOPE = 0.09
const SHINE = 0.3

/**
 * Light and dark of a sheet's relief under a lamp from one side, 1 on average on a level sheet.
 *
 * Formula: a + (1 - a) max(0, n.l) / l_z, n the surface's normal, l the lamp's direction, a the ambient share (Lambert's
 * cosine law). Highlights: s exp(-|slope - slope of the halfway vector|^2 / 2 w^2) (J. F. Blinn, "Models of light
 * reflection for computer synthesized pictures", SIGGRAPH 1977, doi:10.1145/563858.563893, with a Gaussian lobe).
 * @param heightUm the whole sheet's surface, `width` wide
 * @param depth scales the slopes; 0 gives level light
 * @param lamp unit vector to the lamp in the sheet's own directions
 * @param rect the part wanted
 */
export function reliefShading(
  heightUm: Float32Array,
  width: number,
  height: number,
  ppi: number,
  depth: number,
  lamp: readonly [number, number, number],
  rect: Rect,
): Shading {
  const n = rect.width * rect.height
  const diffuse = new Float32Array(n).fill(1)
  const highlight = new Float32Array(n)
  if (depth === 0) return { diffuse, highlight }
  const [lx, ly, lz] = lamp
  // Central differences: rise over two pixels of 25,400 / ppi micrometres.
  const slope = (depth * ppi) / 25400 / 2
  const halfway = Math.hypot(lx, ly, lz + 1)
  const [hx, hy] = [-(lx / halfway) / ((lz + 1) / halfway), -(ly / halfway) / ((lz + 1) / halfway)]
  for (let j = 0, at = 0; j < rect.height; j++) {
    const y = rect.y + j
    const row = y * width
    const above = Math.max(y - 1, 0) * width
    const below = Math.min(y + 1, height - 1) * width
    for (let i = 0; i < rect.width; i++, at++) {
      const x = rect.x + i
      const dx = slope * (heightUm[row + Math.min(x + 1, width - 1)] - heightUm[row + Math.max(x - 1, 0)])
      const dy = slope * (heightUm[below + x] - heightUm[above + x])
      const facing = Math.max(lz - dx * lx - dy * ly, 0) / (lz * Math.sqrt(1 + dx * dx + dy * dy))
      diffuse[at] = AMBIENT + (1 - AMBIENT) * facing
      const off = ((dx - hx) ** 2 + (dy - hy) ** 2) / (2 * SHINE_SLOPE * SHINE_SLOPE)
      if (off < 8) highlight[at] = SHINE * Math.exp(-off)
    }
  }
  return { diffuse, highlight }
}
