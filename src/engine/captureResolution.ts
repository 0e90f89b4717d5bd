import type { FileHeader } from '../files/FileHeader.js'
import type { Pipeline } from '../pipeline/Pipeline.js'
import { MM_PER_INCH } from '../units.js'

/**
 * The resolution a capture is taken to have, in pixels per inch: from the sheet's stated size where one capture holds
 * it, else as the pipeline states, else as the file says, else undefined.
 * @param say hears where the pipeline and the file differ
 */
export function captureResolution(
  pipeline: Pipeline,
  label: string,
  { width, height, ppi: filePpi }: Pick<FileHeader, 'width' | 'height' | 'ppi'>,
  say: (text: string) => void,
): number | undefined {
  const { ppi, sizeMm, files } = pipeline.captures
  if (sizeMm && files.length === 1) {
    const turned = files[0].turned % 180 !== 0
    const fromWidth = sizeMm.width && ((turned ? height : width) / sizeMm.width) * MM_PER_INCH
    const fromHeight = sizeMm.height && ((turned ? width : height) / sizeMm.height) * MM_PER_INCH
    return fromWidth || fromHeight
  }
  if (ppi && filePpi && Math.abs(ppi / filePpi - 1) > 0.005) {
    say(`${label} says ${Math.round(filePpi)} ppi; the pipeline's ${ppi} ppi is used`)
  }
  return ppi ?? filePpi
}
