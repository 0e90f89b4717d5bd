import { Interrupted } from '../errors.js'
import { emptyRaster, type Raster } from '../raster/Raster.js'
import { abortable, stopIf } from './abortable.js'
import type { FileHeader } from './FileHeader.js'
import { readProblem } from './fileProblem.js'
import { placeRows, type StoredRows } from './placeRows.js'
import { decodeRaw } from './raw/decodeRaw.js'
import { readLayout } from './readHeader.js'
import { sharp } from './sharp.js'
import { isPlain, readPlainRows } from './tiff/readPlainRows.js'
import { damaged, truncated, unfit } from './unfit.js'

export interface DecodedPicture {
  /** Upright, interleaved RGB, encoded as the file has it. */
  raster: Raster
  header: FileHeader
  /** What the person should hear: an opaque alpha left out, grey taken as RGB, and the header's own notes. */
  notes: string[]
}

/**
 * Decodes a picture exactly: no profile is applied, 16-bit values as they are, 8-bit values times 257, EXIF
 * orientation applied, grey copied to three channels, opaque alpha left out.
 * An undeveloped camera file comes out as linear camera numbers, balanced as shot (see decodeRaw.ts).
 * Plain TIFFs are read straight into the shared memory; all others through one extra copy that is let go at once.
 * @param path a TIFF, PNG, JPEG or undeveloped camera file
 * @param options.signal stops it; what libvips has begun it finishes unseen
 * @param options.onWhite see-through pixels are laid on white instead of being refused: for what is printed on white paper
 * @throws RequestError as `readHeader` does, and for real transparency and pixels that cannot be unpacked; Interrupted
 */
export async function decodePicture(
  path: string,
  { signal, onWhite }: { signal?: AbortSignal; onWhite?: boolean } = {},
): Promise<DecodedPicture> {
  try {
    const { header, tiff } = await readLayout(path)
    stopIf(signal)
    const notes = [...header.notes]
    if (header.raw) return { raster: await decodeRaw(path, header.raw.whiteBalance, signal), header, notes }
    const raster = emptyRaster(header.width, header.height)
    const place = (rows: StoredRows) => {
      stopIf(signal)
      const hole = placeRows(raster, { ...rows, onWhite }, header.orientation)
      if (hole) throw seeThrough(path, hole)
    }
    const extras = extraChannels(header)
    if (tiff && isPlain(tiff)) {
      const straight = tiff.bits === 16 && tiff.samples === 3 && header.orientation === 1
      const alpha = header.alpha ? header.channels - 1 : undefined
      await readPlainRows(
        path,
        header.bytes,
        tiff,
        straight ? () => stopIf(signal) : (rows) => place({ ...rows, alpha }),
        straight ? raster.data : undefined,
      )
    } else {
      place(await unpacked(header, notes, signal))
    }
    if (header.channels - extras === 1) notes.push('a grey capture, taken as RGB with equal channels')
    if (header.alpha && !onWhite) notes.push('its alpha channel is opaque everywhere and was left out')
    else if (!header.alpha && extras > 0)
      notes.push('channels beyond RGB (for example infrared) were left out')
    return { raster, header, notes }
  } catch (cause) {
    throw readProblem(path, cause)
  }
}

/** Channels that are neither grey nor RGB. */
function extraChannels({ channels }: FileHeader): number {
  return channels >= 3 ? channels - 3 : channels - 1
}

/** The whole picture through libvips, as stored: not turned, no profile applied. Says in `notes` what it let pass. */
async function unpacked(header: FileHeader, notes: string[], signal?: AbortSignal): Promise<StoredRows> {
  const wide = header.depth === 16
  const grey = header.channels <= 2
  const space = grey ? (wide ? 'grey16' : 'b-w') : wide ? 'rgb16' : 'srgb'
  const decoded = (failOn: 'warning' | 'error') => {
    const image = sharp(header.path, {
      limitInputPixels: false,
      sequentialRead: true,
      ignoreIcc: true,
      failOn,
      unlimited: true,
    } as never)
      .toColourspace(space)
      .raw({ depth: wide ? 'ushort' : 'uchar' })
    return abortable(image.toBuffer({ resolveWithObject: true }), signal)
  }
  // Only a JPEG's decoder tells damage as a warning; a TIFF's warns of every private tag.
  const { data, info } = await decoded(header.format === 'jpg' ? 'warning' : 'error')
    .catch((cause) => {
      const said = saidBy(cause)
      if (header.format !== 'jpg' || cause instanceof Interrupted || LOST_DATA.test(said)) throw cause
      notes.push(`its decoder remarks "${said}" and reads it all the same`)
      return decoded('error')
    })
    .catch((cause) => {
      throw decodeProblem(header, cause)
    })
  const turned = header.orientation >= 5
  const width = turned ? header.height : header.width
  const height = turned ? header.width : header.height
  if (info.width !== width || info.height !== height) {
    throw damaged(
      header.path,
      `its header says ${width} x ${height} pixels, its data ${info.width} x ${info.height}`,
    )
  }
  return {
    samples: wide ? new Uint16Array(data.buffer, data.byteOffset, data.length / 2) : data,
    channels: info.channels,
    alpha: header.alpha && (info.channels === 2 || info.channels === 4) ? info.channels - 1 : undefined,
    width,
    height,
    firstRow: 0,
  }
}

/** What a JPEG's decoder says where pixels are lost, as opposed to a needless byte or an odd but complete marker. */
const LOST_DATA = /premature|bad huffman|invalid/i

const saidBy = (cause: unknown) =>
  ((cause as Error).message ?? '').split('\n')[0].replace(/^\w*vips\w*: /i, '')

function decodeProblem({ path, bytes, format }: FileHeader, cause: unknown): unknown {
  if (cause instanceof Interrupted) return cause
  const said = saidBy(cause)
  // A TIFF that ends too early was told from its header; a PNG's decoder does not say which it is.
  if (/premature end of JPEG|not enough data|expected \d+ bytes|got \d+ bytes/i.test(said)) {
    return truncated(path, bytes, undefined, cause)
  }
  if (format === 'png') return damaged(path, 'it is cut short, or bytes within it have changed', cause)
  if (/compression|not (configured|supported)|unsupported/i.test(said)) {
    return unfit(
      path,
      {
        what: 'the picture is packed in a way that cannot be read here',
        expected: 'an uncompressed, LZW or deflate TIFF, a PNG or a JPEG',
        found: said,
        todo: 'Save it again as an uncompressed 16-bit TIFF',
      },
      cause,
    )
  }
  return damaged(path, said, cause)
}

function seeThrough(path: string, { x, y }: { x: number; y: number }): Error {
  return unfit(path, {
    what: 'the picture is transparent in places, and what is to be printed there is unknown',
    expected: 'an opaque picture',
    found: `a pixel that is not opaque at column ${x}, row ${y} as stored`,
    todo: 'Flatten it onto white (or onto the colour of the sheet) and save it as a 16-bit TIFF',
  })
}
