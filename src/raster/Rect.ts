/** A rectangle of whole pixels; `x`, `y` is its top left corner. */
export interface Rect {
  x: number
  y: number
  width: number
  height: number
}
