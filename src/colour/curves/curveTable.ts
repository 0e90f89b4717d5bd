/** How many codes a 16-bit sample has. */
export const CODES = 65536

/**
 * A curve read off at every 16-bit code, on shared memory so that it reaches workers without being copied.
 * @param curve from an encoded value 0..1
 */
export function curveTable(curve: (encoded: number) => number): Float32Array {
  const table = new Float32Array(new SharedArrayBuffer(CODES * 4))
  for (let code = 0; code < CODES; code++) table[code] = curve(code / (CODES - 1))
  return table
}
