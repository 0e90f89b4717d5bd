/**
 * How much each lighting counts at a place: opposite ones alike, so that relief cancels; one without its opposite only as
 * far as no opposite pair is there. Continuous, so that nothing shows where a capture begins.
 * @param turned how the sheet lay for each lighting, degrees
 * @param reach 0 at the border of what each covers and outside, 1 well inside
 * @param out the weights, adding up to 1; all 0 where no lighting reaches
 */
export function lightingWeights(turned: readonly number[], reach: readonly number[], out: number[]): void {
  let opposed = 0
  for (let k = 0; k < turned.length; k++) {
    const other = turned.indexOf((turned[k] + 180) % 360)
    out[k] = other < 0 ? 0 : Math.min(reach[k], reach[other])
    opposed = Math.max(opposed, out[k])
  }
  let total = 0
  for (let k = 0; k < turned.length; k++) {
    out[k] += (1 - opposed) * reach[k]
    total += out[k]
  }
  if (total > 0) for (let k = 0; k < turned.length; k++) out[k] /= total
}
