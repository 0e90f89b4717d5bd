/** A picture whose rows are brought into the kernels' memory, a few at a time: planar float32, linear light. */
export interface Rows {
  width: number
  height: number
  /** Lengths of the blocks of kernel memory that it keeps while it is read. */
  blocks: readonly number[]
  /** Puts what it needs into its blocks. */
  begin(blocks: readonly number[]): void
  /**
   * Fills planes with a part of the picture that lies inside it.
   * @param y first row
   * @param rows how many; the next row lies `rowBytes` further
   * @param x first column
   * @param columns how many; up to three more may be written behind them
   * @param to byte offset of the first row's first plane; the next plane lies `planeBytes` further
   */
  read(
    y: number,
    rows: number,
    x: number,
    columns: number,
    to: number,
    planeBytes: number,
    rowBytes: number,
  ): void
}
