import { unpackPicture } from '../../../colour/packedPicture.js'
import type { Finding, Picture8 } from '../../../findings.js'
import type { StitchReading } from '../Reading.js'

const MM_PER_INCH = 25.4
/** White between the two pictures. */
const GAP_PX = 8

/** Where the seams are worst, and how it looks before and after blending. */
export function worstSeamFindings({ worstSeam, captures, ppi }: StitchReading): Finding[] {
  if (!worstSeam) return []
  const { x, y, first, second, before, after, left, top, pictures } = worstSeam
  const place = ppi
    ? `${((x / ppi) * MM_PER_INCH).toFixed(1)} mm from the left, ${((y / ppi) * MM_PER_INCH).toFixed(1)} mm from the top`
    : `${x} px from the left, ${y} px from the top`
  return [
    ...(
      [
        ['largest step along the seams, butted', before],
        ['the same place, blended', after],
      ] as const
    ).map(([name, value]) => ({
      ...{ kind: 'number' as const, name, value: Number(value.toFixed(2)), unit: 'CIEDE2000' },
    })),
    {
      kind: 'picture',
      title: 'The worst seam at 100 %',
      caption: `${place}, ${x - left} px from the left and ${y - top} px from the top of each picture: where ${captures[first].label} and ${captures[second].label} meet. First butted, their light matched: a step of ${before.toFixed(2)} CIEDE2000. Then blended: ${after.toFixed(2)}.`,
      picture: sideBySide(pictures.map(unpackPicture)),
    },
  ]
}

function sideBySide(pictures: readonly Picture8[]): Picture8 {
  const [{ width, height }] = pictures
  const whole = width * pictures.length + GAP_PX * (pictures.length - 1)
  const rgb = new Uint8Array(whole * height * 3).fill(255)
  for (const [k, picture] of pictures.entries()) {
    for (let j = 0; j < height; j++) {
      const row = picture.rgb.subarray(j * width * 3, (j + 1) * width * 3)
      rgb.set(row, (j * whole + k * (width + GAP_PX)) * 3)
    }
  }
  return { width: whole, height, rgb }
}
