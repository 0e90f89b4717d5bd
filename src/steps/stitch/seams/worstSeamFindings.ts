import { unpackPicture } from '../../../colour/packedPicture.js'
import type { Finding, Picture8 } from '../../../findings.js'
import type { StitchReading } from '../Reading.js'
import { type SeamMarks, seamMarks } from './seamMarks.js'

const MM_PER_INCH = 25.4
/** White about each picture; in it ticks, this long and thick, so far from the picture. */
const MARGIN_PX = 12
const TICK_PX = 8
const THICK_PX = 2
const AWAY_PX = 2

/** Where the seams are worst, and how it looks before and after blending. */
export function worstSeamFindings({ worstSeam, captures, layers, ppi }: StitchReading): Finding[] {
  if (!worstSeam) return []
  const { x, y, first, second, before, after, left, top, pictures } = worstSeam
  const place = ppi
    ? `${((x / ppi) * MM_PER_INCH).toFixed(1)} mm from the left, ${((y / ppi) * MM_PER_INCH).toFixed(1)} mm from the top`
    : `${x} px from the left, ${y} px from the top`
  const shown = pictures.map(unpackPicture)
  const [{ width, height }] = shown
  const layer = layers.find(({ captures: own }) => own.includes(first) && own.includes(second))
  const marks = layer && seamMarks(layer.seams, { x: left, y: top, width, height })
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
      caption: `${place}, ${x - left} px from the left and ${y - top} px from the top of each picture: where ${captures[first].label} and ${captures[second].label} meet. Left butted, their light matched: a step of ${before.toFixed(2)} CIEDE2000. Right blended: ${after.toFixed(2)}. Ticks in the margins: where the seam runs in and out of the picture.`,
      picture: sideBySide(shown, marks),
    },
  ]
}

/** Pictures side by side in white margins that hold the ticks, so that none lies on what is judged. */
function sideBySide(pictures: readonly Picture8[], marks: SeamMarks | undefined): Picture8 {
  const [{ width, height }] = pictures
  const [across, down] = [width + 2 * MARGIN_PX, height + 2 * MARGIN_PX]
  const whole = pictures.length * across
  const rgb = new Uint8Array(whole * down * 3).fill(255)
  const black = (x: number, y: number, columns: number, rows: number) => {
    for (let j = y; j < y + rows; j++) rgb.fill(0, (j * whole + x) * 3, (j * whole + x + columns) * 3)
  }
  const [before, after] = [-AWAY_PX - TICK_PX, AWAY_PX]
  for (const [k, picture] of pictures.entries()) {
    const [x0, y0] = [MARGIN_PX + k * across, MARGIN_PX]
    for (let j = 0; j < height; j++) {
      rgb.set(picture.rgb.subarray(j * width * 3, (j + 1) * width * 3), ((y0 + j) * whole + x0) * 3)
    }
    const half = THICK_PX / 2
    for (const at of marks?.top ?? []) black(x0 + at - half, y0 + before, THICK_PX, TICK_PX)
    for (const at of marks?.bottom ?? []) black(x0 + at - half, y0 + height + after, THICK_PX, TICK_PX)
    for (const at of marks?.left ?? []) black(x0 + before, y0 + at - half, TICK_PX, THICK_PX)
    for (const at of marks?.right ?? []) black(x0 + width + after, y0 + at - half, TICK_PX, THICK_PX)
  }
  return { width: whole, height: down, rgb }
}
