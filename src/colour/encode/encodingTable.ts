import { CODES } from '../curves/curveTable.js'
import type { SpaceName } from '../spaces/SpaceName.js'
import { space } from '../spaces/space.js'

/** Equal steps of a doubling of light in the table, as a power of two. */
const STEP_BITS = 10

/**
 * A space's curve from linear light to 16-bit codes plus one half, so that cutting the fraction off rounds half up. The
 * entries stand at equal steps inside each doubling of light: the index is the exponent of a float32 and the first bits of
 * its fraction. A power law's relative error by linear interpolation is then the same at every lightness,
 * (1 - p) p / 8 / 1024^2 of the code: under 0.003 codes. Float32 adds 0.004 at most.
 */
export interface EncodingTable {
  /** Codes 0..65535, one half added, and one more entry above. */
  codes: Float32Array
  /** How far a float32's bits are shifted down to index the table. */
  shift: number
  /** What is then taken off. */
  offset: number
  /** Light that the table starts with; everything below rounds to code 0. */
  least: number
}

const known = new Map<SpaceName, EncodingTable>()

export function encodingTable(name: SpaceName): EncodingTable {
  let table = known.get(name)
  if (!table) {
    table = build(space(name).encode)
    known.set(name, table)
  }
  return table
}

function build(encode: (linear: number) => number): EncodingTable {
  const top = CODES - 1
  let exponent = 0
  while (encode(2 ** exponent) * top >= 0.5) exponent--
  const steps = 1 << STEP_BITS
  const codes = new Float32Array(-exponent * steps + 2)
  for (let i = 0; i < codes.length; i++) {
    const octave = exponent + Math.floor(i / steps)
    codes[i] = encode(2 ** octave * (1 + (i % steps) / steps)) * top + 0.5
  }
  return { codes, shift: 23 - STEP_BITS, offset: (exponent + 127) << STEP_BITS, least: 2 ** exponent }
}
