/** Where a chart's patches lie on it. */
export interface ChartLayout {
  /** In words: `24-patch chart`. */
  title: string
  /** The grid whose corner patches' outer corners a person would name. */
  columns: number
  rows: number
  /** In patch order; a place is a patch's centre, the grid's top left patch at [0, 0], in distances between patches. */
  patches: readonly { name: string; at: readonly [column: number, row: number] }[]
  /** Patches that are grey, lightest first. */
  greys: readonly number[]
}
