import type { FileHeader } from '../files/FileHeader.js'
import type { Pipeline } from '../pipeline/Pipeline.js'
import { MM_PER_INCH } from '../units.js'

/** More than this share between the resolutions by width and by height is not the measuring of a sheet. */
const ANOTHER_SHAPE = 0.02

const round = (mm: number) => Math.round(10 * mm) / 10

/**
 * The resolution a capture is taken to have, in pixels per inch: from the sheet's stated size where one capture holds
 * it, else as the pipeline states, else as the file says, else undefined.
 * @param hear.say where the pipeline and the file differ
 * @param hear.warn where the stated size has another shape than the capture
 */
export function captureResolution(
  pipeline: Pipeline,
  label: string,
  { width, height, ppi: filePpi }: Pick<FileHeader, 'width' | 'height' | 'ppi'>,
  hear: { say(text: string): void; warn(text: string): void },
): number | undefined {
  const { ppi, sizeMm, files } = pipeline.captures
  if (sizeMm && files.length === 1) {
    const turned = files[0].turned % 180 !== 0
    const fromWidth = sizeMm.width && ((turned ? height : width) / sizeMm.width) * MM_PER_INCH
    const fromHeight = sizeMm.height && ((turned ? width : height) / sizeMm.height) * MM_PER_INCH
    if (fromWidth && fromHeight && Math.abs(fromWidth / fromHeight - 1) > ANOTHER_SHAPE) {
      hear.warn(
        `captures.size says ${round(sizeMm.width!)} x ${round(sizeMm.height!)} mm, another shape than the ${width} x ${height} pixels of ${label}; the width is taken to be right. State the size of what the capture shows, from edge to edge`,
      )
    }
    return fromWidth || fromHeight
  }
  if (ppi && filePpi && Math.abs(ppi / filePpi - 1) > 0.005) {
    hear.say(`${label} says ${Math.round(filePpi)} ppi; the pipeline's ${ppi} ppi is used`)
  }
  return ppi ?? filePpi
}
