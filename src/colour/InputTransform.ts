/**
 * How the encoded numbers of a file become linear light in the working space (ROMM RGB primaries, D50).
 * Plain data over shared memory, so that it can be handed to workers.
 */
export type InputTransform =
  /** `matrix * curve[c][code]`; curves have 65,536 entries, matrix is row-major 3x3. */
  | { kind: 'matrix'; curves: [Float32Array, Float32Array, Float32Array]; matrix: number[] }
  /**
   * A grid of working-space values, `size`^3 nodes, red slowest, blue fastest, three floats a node; the encoded
   * numbers pass `curves` (65,536 entries to 0..1) first. Interpolated tetrahedrally.
   */
  | {
      kind: 'grid'
      curves: [Float32Array, Float32Array, Float32Array]
      size: number
      grid: Float32Array
    }
