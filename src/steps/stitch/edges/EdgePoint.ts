/** The sheet's sides, clockwise. */
export const SIDES = ['top', 'right', 'bottom', 'left'] as const

/** A place of a capture where a side of the sheet ends against what it lies on. */
export interface EdgePoint {
  capture: number
  /** Centred coordinates. */
  at: [x: number, y: number]
  /** Index into `SIDES`, on the sheet. */
  side: number
  /** Inverse variance of its distance from the side, 1/px^2. */
  sure: number
}

/** The sheet's outline: its axis, and where its sides lie along it. */
export interface SheetEdges {
  /** Radians clockwise. */
  angle: number
  /** Distance from the origin along the side's normal: down for top and bottom, right for left and right. */
  offsets: [top: number, right: number, bottom: number, left: number]
}

/** The unit normal of a side: down or right on a sheet that stands upright. */
export const normalOf = (angle: number, side: number): [x: number, y: number] =>
  side % 2 === 0 ? [-Math.sin(angle), Math.cos(angle)] : [Math.cos(angle), Math.sin(angle)]
