/** Values on a coarse grid over a rectangle of pixels, read between its nodes. Node (i, j) is pixel (x + i step, y + j step). */
export interface Field {
  x: number
  y: number
  step: number
  columns: number
  rows: number
  data: Float32Array
}
