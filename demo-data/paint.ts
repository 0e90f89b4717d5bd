import type { Painting, Probe, SheetKind } from './Painting.js'
import type { Canvas } from './painter/Canvas.js'
import { granulate } from './painter/granulate.js'
import { measurableMarks } from './painter/measurableMarks.js'
import { mixedLight } from './painter/mixedLight.js'
import { paperHeight, TOOTH_UM } from './painter/paperHeight.js'
import { PIGMENTS } from './painter/pigments.js'
import { boats, maskBoats } from './painter/scene/boats.js'
import { drawing } from './painter/scene/drawing.js'
import { flats, maskFlats } from './painter/scene/flats.js'
import { foreground } from './painter/scene/foreground.js'
import { land } from './painter/scene/land.js'
import { maskQuay, quay } from './painter/scene/quay.js'
import { sky } from './painter/scene/sky.js'
import { seeded } from './painter/seeded.js'
import { smoothNoise } from './painter/smoothNoise.js'
import { deviceWeights } from './spectra/deviceWeights.js'

export interface PaintRequest {
  seed: number
  /** Pixels. Any size above about 300 x 200; 3:2 looks as meant. */
  width: number
  height: number
  /** How large the sheet is: grain, pencil and pooling are in millimetres, the scene in shares of the sheet. */
  ppi: number
  sheet: SheetKind
}

/** Paints *Harbour at low tide*: the same request gives the same bytes. */
export function paint({ seed, width, height, ppi, sheet }: PaintRequest): Painting {
  const heightUm = paperHeight(sheet, width, height, ppi, seed)
  const pxPerMm = ppi / 25.4
  const canvas: Canvas = {
    ...{ width, height, pxPerMm, seed },
    amounts: PIGMENTS.map(() => new Float32Array(width * height)),
    grain: heightUm.map((um) => um / TOOTH_UM),
    reserve: new Float32Array(width * height),
    random: seeded(seed, 1),
    noises: [smoothNoise(seed + 1, 4), smoothNoise(seed + 2, 4), smoothNoise(seed + 3, 4)],
    marks: [],
  }
  drawing(canvas)
  maskQuay(canvas)
  maskFlats(canvas)
  maskBoats(canvas)
  sky(canvas)
  land(canvas)
  quay(canvas)
  flats(canvas)
  boats(canvas)
  foreground(canvas)
  const probes: Probe[] = measurableMarks(canvas)
  const granulation = granulate(canvas)
  const { amounts } = canvas
  const blank = new Uint8Array(width * height).fill(1)
  for (const plane of amounts) for (let i = 0; i < blank.length; i++) if (plane[i] > 0) blank[i] = 0
  const planes = mixedLight(amounts, deviceWeights('truth'))
  const truth = { rect: { x: 0, y: 0, width, height }, planes }
  return { width, height, ppi, seed, sheet, truth, heightUm, blank, granulation, amounts, probes }
}
