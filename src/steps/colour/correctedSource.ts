import { kernels, scratch } from '../../raster/kernels/kernels.js'
import type { Source } from '../../raster/Source.js'
import type { Tile } from '../../raster/Tile.js'
import type { Fit } from './fit/Fit.js'
import { termCount } from './fit/terms.js'

/** Pixels at once: what goes in and out stays in the processor's cache. */
const BAND_PIXELS = 16384

/** A source with a fit applied to every pixel. */
export function correctedSource(source: Source, fit: Fit): Source {
  if (fit.rung === 'none') return source
  const numbers = kernelNumbers(fit)
  const degree = { 3: 1, 6: 2, 13: 3 }[termCount(fit.rung)]!
  const field = kernelField(fit)
  const bent = fit.tone.some(({ bend: [a, b] }) => a !== 0 || b !== 0)
  return {
    width: source.width,
    height: source.height,
    region(rect) {
      const tile = source.region(rect)
      correct(tile.planes, numbers, degree, bent, field)
      return tile
    },
  }
}

/** What the kernel takes: channels with the stray light's share divided out, offsets, bends, coefficients. */
function kernelNumbers({ channels, tone, coefficients }: Fit): Float32Array {
  return Float32Array.from([
    ...channels.map((entry, i) => entry / (1 - tone[Math.floor(i / 3)].flare)),
    ...tone.map(({ flare }) => -flare / (1 - flare)),
    ...tone.flatMap(({ bend }) => bend),
    ...coefficients,
  ])
}

/** A field's nodes as the kernel takes them: four numbers each. */
function kernelField({ field }: Fit): { size: number; nodes: Float32Array } {
  if (!field) return { size: 0, nodes: new Float32Array(0) }
  const { size, nodes } = field
  return {
    size,
    nodes: Float32Array.from({ length: size * size * 4 }, (_, i) =>
      i % 4 < 3 ? nodes[3 * (i >> 2) + (i % 4)] : 0,
    ),
  }
}

/** The kernel's twin in words is fit/terms.ts `corrected`. */
function correct(
  planes: Tile['planes'],
  numbers: Float32Array,
  degree: number,
  bent: boolean,
  { size, nodes }: { size: number; nodes: Float32Array },
): void {
  const [{ length }] = planes
  const band = Math.min(BAND_PIXELS, (length + 3) & ~3)
  const [at, field, ...offsets] = scratch(numbers.byteLength, nodes.byteLength, band * 4, band * 4, band * 4)
  const [r, g, b] = offsets
  const { memory, correctColours } = kernels()
  new Float32Array(memory.buffer, at, numbers.length).set(numbers)
  new Float32Array(memory.buffer, field, nodes.length).set(nodes)
  for (let from = 0; from < length; from += band) {
    const count = Math.min(band, length - from)
    const views = offsets.map((offset) => new Float32Array(memory.buffer, offset, count))
    planes.forEach((plane, c) => {
      views[c].set(plane.subarray(from, from + count))
    })
    // A last group of fewer than four pixels takes whatever lies behind it along.
    correctColours(r, g, b, (count + 3) & ~3, at, degree, bent, field, size)
    planes.forEach((plane, c) => {
      plane.set(views[c], from)
    })
  }
}
