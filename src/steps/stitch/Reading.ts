import type { PackedPicture } from '../../colour/packedPicture.js'
import type { Lens } from '../../raster/warp/Lens.js'
import type { PlaneMap } from '../../raster/warp/PlaneMap.js'
import type { Combining, Layer } from './combine/Layer.js'
import type { LightField } from './light/LightField.js'

/** Where and how every capture lies on the sheet. */
export interface StitchReading {
  /** The sheet's size in pixels. */
  width: number
  height: number
  /** The finest capture's resolution, where any states one. */
  ppi?: number
  /** Share by which the scale may be off, as a standard deviation; absent where nothing says. */
  scaleUncertainty?: number
  /** In the captures' order. */
  captures: PlacedCapture[]
  pairs: PairReading[]
  /** Root mean square disagreement of all windows that count, in sheet pixels. */
  misplacementRmsPx: number
  /** Windows measured, and those left out because they contradict the others. */
  windows: number
  outliers: number
  /** Windows on the sheet and by how much their captures disagree there; a part of them where they are many. */
  vectors: ResidualVector[]
  /** Shares of the sheet's rectangle. */
  overlapShare: number
  uncoveredShare: number
  /** What fills the uncovered part: the sheet's paper tone, linear light in the working space. */
  fill: [r: number, g: number, b: number]
  /** One with every capture, or one for each lighting where lightings are combined. */
  layers: Layer[]
  /** Absent where every place is taken from one capture. */
  combining?: Combining
  /** How sharp captures are against each other; absent where no two show the same. */
  sharpness?: SharpnessReading[]
  /** Where the seams step most; absent where no two captures meet. */
  worstSeam?: WorstSeam
  statements: string[]
  warnings: string[]
}

/** A window's middle on the sheet, where the second capture shows it against the first, and whether it counts (1 or 0). */
export type ResidualVector = [x: number, y: number, dx: number, dy: number, counts: number]

export interface PlacedCapture {
  label: string
  /** Absent: the capture found no place and is left out. */
  placed?: {
    /**
     * From the capture's pixels on disk to the sheet's, pixel centres at whole numbers; where there is a lens, from where
     * they would be seen without it.
     */
    toSheet: PlaneMap
    lens?: Lens
    /** Rotation against the sheet beyond its quarter turns, degrees clockwise. */
    rotationDeg: number
    gain: [r: number, g: number, b: number]
    /** What its light is multiplied by besides, place by place; absent: the same everywhere. */
    field?: LightField
  }
  width: number
  height: number
  turned: 0 | 90 | 180 | 270
}

export interface PairReading {
  first: number
  second: number
  /** Of the structure in the common area, -1..1. */
  correlation: number
  /** Share of the smaller capture. */
  overlapShare: number
  windows: number
  outliers: number
  residualRmsPx: number
}

/** Two captures' sharpness where both show the same painted structure. */
export interface SharpnessReading {
  first: number
  second: number
  windows: number
  /** Fine contrast of the second over the first's, the windows' median. */
  contrast: number
  /** Where the first is sharper beyond doubt, and the second; absent where it nowhere is. */
  firstSharper?: SharperPart
  secondSharper?: SharperPart
}

export interface SharperPart {
  /** Of the windows. */
  share: number
  /** What the other has of its fine contrast there, 0..1. */
  left: number
}

/** The place along the seams where captures differ most. */
export interface WorstSeam {
  /** Sheet pixels. */
  x: number
  y: number
  /** The captures that meet there. */
  first: number
  second: number
  /** The step from one side to the other, CIEDE2000: captures butted with their light matched, and as blended. */
  before: number
  after: number
  /** Where the pictures begin on the sheet. */
  left: number
  top: number
  /** The place at full size: butted, and blended. */
  pictures: PackedPicture[]
}

/** Which capture each cell of the sheet is taken from. */
export interface SeamMap {
  cellPx: number
  /** Cells across and down; the last ones may reach beyond the sheet. */
  width: number
  height: number
  /** Runs along the rows, one after the other: capture index (-1 for none) and length, alternating. */
  runs: number[]
}
