import type { Picture8 } from '../../findings.js'

/** Draws a closed outline, white with a dark rim so that it shows on any patch. Points in picture pixels. */
export function drawOutline(
  { width, height, rgb }: Picture8,
  points: readonly (readonly [number, number])[],
  colour: readonly [number, number, number] = [255, 255, 255],
): void {
  const stroke = (rim: number, paint: readonly number[]) => {
    points.forEach(([x0, y0], k) => {
      const [x1, y1] = points[(k + 1) % points.length]
      const steps = Math.max(1, Math.ceil(2 * Math.hypot(x1 - x0, y1 - y0)))
      for (let s = 0; s <= steps; s++) {
        const px = Math.floor(x0 + ((x1 - x0) * s) / steps)
        const py = Math.floor(y0 + ((y1 - y0) * s) / steps)
        for (let y = py - rim; y <= py + rim; y++) {
          for (let x = px - rim; x <= px + rim; x++) {
            if (x >= 0 && y >= 0 && x < width && y < height) rgb.set(paint, 3 * (y * width + x))
          }
        }
      }
    })
  }
  stroke(1, [20, 20, 20])
  stroke(0, colour)
}
