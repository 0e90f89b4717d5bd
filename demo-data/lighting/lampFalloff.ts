/**
 * How much of the lamp's light arrives at a place of the glass: 1 where it is brightest, `1 - falloff` at the darkest corner.
 * Brighter on the lamp's side, and less towards the borders all round.
 * @param x from -1 (left) to 1
 * @param y from -1 (top) to 1
 * @param fromDeg where the light comes from, clockwise from the top
 */
export function lampFalloff(fromDeg: number, falloff: number): (x: number, y: number) => number {
  const from = (fromDeg * Math.PI) / 180
  const [dx, dy] = [Math.sin(from), -Math.cos(from)]
  const raw = (x: number, y: number) =>
    0.55 * (0.5 - 0.25 * (x * dx + y * dy)) ** 1.3 + 0.22 * (x * x + y * y)
  let [low, high] = [Number.POSITIVE_INFINITY, 0]
  for (let j = -20; j <= 20; j++) {
    for (let i = -20; i <= 20; i++) {
      const loss = raw(i / 20, j / 20)
      low = Math.min(low, loss)
      high = Math.max(high, loss)
    }
  }
  return (x, y) => 1 - (falloff * (raw(x, y) - low)) / (high - low)
}
