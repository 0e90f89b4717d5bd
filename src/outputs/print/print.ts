import { emptyRaster, type Raster } from '../../raster/Raster.js'
import type { Output } from '../contract.js'
import { bareBeyond } from '../shared/bareBeyond.js'
import { type PrintParams, printParams } from './params.js'
import { planPrint, printPath } from './planPrint.js'

/** A picture at its size on paper, or a whole sheet with it, ready for a printer or a print shop. */
export const print: Output<PrintParams> = {
  kind: 'print',
  summary:
    'a picture file at its size on paper: on a sheet, at a free size, true to the original or enlarged',
  params: printParams,
  paths: (params) => [printPath(params)],
  plan(params, master) {
    const { files, ticket, findings } = planPrint(params, master)
    return { files, ticket, findings }
  },
  derivation: (params, master) => planPrint(params, master).derivation,
  async render(params, context) {
    const { derivation, depth, path, sheetPx } = planPrint(params, context.master)
    const picture = await context.derive(derivation)
    if (params['bleed-beyond'] === 'paper') bareBeyond(picture, derivation, context.master)
    context.checkCancelled()
    const { format, ppi, quality } = params
    const raster = sheetPx ? onWhite(picture, sheetPx) : picture
    await context.writePicture(path, raster, { format, depth, ppi, space: derivation.space, quality })
  },
}

/** A picture on a sheet of paper white (full code value: no ink). */
function onWhite(picture: Raster, sheet: { width: number; height: number; x: number; y: number }): Raster {
  const raster = emptyRaster(sheet.width, sheet.height)
  raster.data.fill(0xffff)
  const row = picture.width * 3
  for (let j = 0; j < picture.height; j++) {
    const to = ((sheet.y + j) * sheet.width + sheet.x) * 3
    raster.data.set(picture.data.subarray(j * row, (j + 1) * row), to)
  }
  return raster
}
