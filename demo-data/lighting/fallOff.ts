import { lampFalloff } from './lampFalloff.js'

/** Weakens a capture's light as the lamp's distance does; `planes` change in place. */
export function fallOff(
  planes: readonly Float32Array[],
  width: number,
  height: number,
  fromDeg: number,
  falloff: number,
): void {
  if (falloff === 0) return
  const arriving = lampFalloff(fromDeg, falloff)
  for (let y = 0, at = 0; y < height; y++) {
    for (let x = 0; x < width; x++, at++) {
      const share = arriving((2 * x) / (width - 1) - 1, (2 * y) / (height - 1) - 1)
      for (const plane of planes) plane[at] *= share
    }
  }
}
