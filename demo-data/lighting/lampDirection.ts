/**
 * The unit vector from the sheet to the lamp; x to the right, y down, z towards the viewer.
 * @param fromDeg where the light comes from, clockwise from the picture's top
 * @param heightDeg above the sheet, 0..90
 */
export function lampDirection(fromDeg: number, heightDeg: number): [x: number, y: number, z: number] {
  const from = (fromDeg * Math.PI) / 180
  const up = (heightDeg * Math.PI) / 180
  return [Math.sin(from) * Math.cos(up), -Math.cos(from) * Math.cos(up), Math.sin(up)]
}
