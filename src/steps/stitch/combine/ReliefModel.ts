/** What a pair of opposite lightings says of how its sheet shades, beyond what their mean cancels. Plain JSON. */
export interface ReliefModel {
  /** Direction of the lamp's light across the sheet, degrees clockwise from the sheet's right, for captures not turned. */
  lampAxisDeg: number
  /**
   * How much light a slope costs both lightings: the mean is 1 - curvature (s^2 + t^2) of the flat sheet's light, s the
   * share (a - b) / (a + b) that the slope along the lamp shows, t what the slope across it would show. 0: nothing.
   */
  curvature: number
  /** Whether t is worth concluding from s: sheets whose relief runs in all directions. */
  crosswise: boolean
  /** Highlights; absent where none stand out. */
  glints?: Glints
}

/** A facet adds light where it mirrors the lamp: peak exp(-((s - slope)^2 + t^2) / (2 width^2)). */
export interface Glints {
  /** Light, 1 = perfect diffuser; the same in all channels. */
  peak: number
  slope: number
  width: number
}

/** No more is known than that shading is odd: the plain mean. */
export const PLAIN: ReliefModel = { lampAxisDeg: 90, curvature: 0, crosswise: false }

/** The model for captures that lay turned: where the sheet lay turned by a quarter, so did the lamp across it. */
export const underLamp = (model: ReliefModel, turned: number): ReliefModel => ({
  ...model,
  lampAxisDeg: model.lampAxisDeg - (turned % 180),
})
