/** `round(v / 257)` for every 16-bit value: 257 is exactly 65535 / 255, so v = 257 n comes back as n. */
const ROUNDED = Uint8Array.from({ length: 65536 }, (_, v) => Math.floor((v + 128) / 257))

/**
 * 16-bit samples as 8-bit samples, correctly rounded.
 * @param samples 0..65535
 * @param out where to put them; a new array by default
 */
export function eightBits(samples: Uint16Array, out = new Uint8Array(samples.length)): Uint8Array {
  for (let i = 0; i < samples.length; i++) out[i] = ROUNDED[samples[i]]
  return out
}
