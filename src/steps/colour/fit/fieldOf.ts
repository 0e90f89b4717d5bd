import type { Field, Triple } from './Fit.js'

/** Where a light lies in a field: its first and second channel's share of the sum, and the sum. */
export function shareOf(light: Readonly<Triple>): { x: number; y: number; sum: number } {
  const [u, v, w] = light.map((value) => Math.max(0, value))
  const sum = Math.max(1e-12, u + v + w)
  return { x: u / sum, y: v / sum, sum }
}

/** What a field adds to the colour corrected from a light: straight lines between the four nodes around it. */
export function fieldOf({ size, nodes }: Field, light: Readonly<Triple>): Triple {
  const { x, y, sum } = shareOf(light)
  const [across, down] = [x * (size - 1), y * (size - 1)]
  const i = Math.min(Math.floor(across), size - 2)
  const j = Math.min(Math.floor(down), size - 2)
  const [fx, fy] = [across - i, down - j]
  const node = (di: number, dj: number, c: number) => nodes[3 * ((j + dj) * size + i + di) + c]
  return [0, 1, 2].map((c) => {
    const top = node(0, 0, c) + fx * (node(1, 0, c) - node(0, 0, c))
    const bottom = node(0, 1, c) + fx * (node(1, 1, c) - node(0, 1, c))
    return sum * (top + fy * (bottom - top))
  }) as Triple
}
