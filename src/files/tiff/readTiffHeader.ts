import { captureConditions } from '../captureConditions.js'
import type { FileHeader } from '../FileHeader.js'
import { plausiblePpi } from '../plausiblePpi.js'
import { isUndeveloped } from '../raw/isRaw.js'
import { readRawHeader } from '../raw/readRawHeader.js'
import { damaged, isCmyk, isLineArt, truncated, unfit } from '../unfit.js'
import { type ReadBytes, readDirectory, type TiffDirectory } from './readDirectory.js'
import type { TiffPicture } from './TiffPicture.js'

const CHUNKY = 1

/**
 * Header and layout of a TIFF's first picture; the header alone where it is an undeveloped camera file.
 * @param path for messages
 * @param bytes size of the file
 * @throws RequestError for CMYK, 1-bit, floating-point, camera files that cannot be read, and files cut short
 */
export async function readTiffHeader(
  path: string,
  bytes: number,
  read: ReadBytes,
): Promise<{ header: FileHeader; picture?: TiffPicture }> {
  const directory = await directoryOf(path, read)
  const one = (tag: number, otherwise: number) => directory.fields.get(tag)?.values[0] ?? otherwise
  const all = (tag: number) => directory.fields.get(tag)?.values ?? []
  const conditions = await captureConditions(directory, read)
  if (isUndeveloped(path, directory)) return { header: await readRawHeader(path, bytes, conditions) }

  const samples = one(277, 1)
  const depths = all(258).length > 0 ? all(258) : [1]
  const tiled = directory.fields.has(322)
  const height = one(257, 0)
  const picture: TiffPicture = {
    littleEndian: directory.littleEndian,
    width: one(256, 0),
    height,
    bits: Math.max(...depths),
    samples,
    photometric: one(262, samples >= 3 ? 2 : 1),
    compression: one(259, 1),
    separate: one(284, CHUNKY) !== CHUNKY && samples > 1,
    tiled,
    rowsPerStrip: Math.min(one(278, height), height),
    offsets: all(tiled ? 324 : 273),
    byteCounts: all(tiled ? 325 : 279),
    extraSamples: all(338),
  }
  if (!(picture.width > 0 && picture.height > 0))
    throw damaged(path, 'it does not state its width and height')
  refuseUnfit(path, picture, one(339, 1))
  if (picture.offsets.length === 0) throw damaged(path, 'it does not say where its pixels lie')
  const end = picture.offsets.reduce((last, at, i) => Math.max(last, at + (picture.byteCounts[i] ?? 0)), 0)
  if (end > bytes) throw truncated(path, bytes, end)

  const unit = { 2: 1, 3: 2.54 }[one(296, 2)]
  const { ppi, note } = unit ? plausiblePpi(scaled(all(282)[0], unit), scaled(all(283)[0], unit)) : {}
  const orientation = one(274, 1)
  const turned = orientation >= 5 && orientation <= 8
  const notes = note ? [note] : []
  if (directory.next > 0) notes.push('the file holds more than one picture; the first is used')
  return {
    picture,
    header: {
      path,
      format: 'tif',
      width: turned ? picture.height : picture.width,
      height: turned ? picture.width : picture.height,
      channels: picture.photometric === 3 ? 3 : samples,
      depth: picture.bits === 16 && picture.photometric !== 3 ? 16 : 8,
      ppi,
      orientation: orientation >= 1 && orientation <= 8 ? orientation : 1,
      profile: directory.fields.get(34675)?.bytes,
      conditions,
      bytes,
      alpha: picture.extraSamples.some((kind) => kind === 1 || kind === 2),
      notes,
    },
  }
}

async function directoryOf(path: string, read: ReadBytes): Promise<TiffDirectory> {
  try {
    const directory = await readDirectory(read)
    if (directory) return directory
  } catch (cause) {
    if (cause instanceof RangeError) throw damaged(path, cause.message, cause)
    throw cause
  }
  throw damaged(path, 'it begins as a TIFF but has no directory')
}

const scaled = (value: number | undefined, unit: number) => (value === undefined ? undefined : value * unit)

function refuseUnfit(path: string, picture: TiffPicture, sampleFormat: number): void {
  const { photometric, bits, samples } = picture
  if (photometric === 5) {
    throw isCmyk(path, samples)
  }
  if (bits === 1 && photometric !== 3) {
    throw isLineArt(path)
  }
  if ((sampleFormat !== 1 && sampleFormat !== 4) || ![1, 2, 4, 8, 16].includes(bits)) {
    throw unfit(path, {
      what: 'the samples have a form that captures do not have',
      expected: 'whole numbers of 8 or 16 bits a channel',
      found:
        `${bits}-bit ${sampleFormat === 3 ? 'floating-point' : sampleFormat === 2 ? 'signed' : ''} samples`.replace(
          '  ',
          ' ',
        ),
      todo: 'Export it as a 16-bit RGB TIFF',
    })
  }
  if (![0, 1, 2, 3, 6].includes(photometric)) {
    throw unfit(path, {
      what: 'the picture is stored in a colour model that captures do not have',
      expected: 'RGB or grey',
      found: [8, 9, 10].includes(photometric) ? 'CIELAB' : `PhotometricInterpretation ${photometric}`,
      todo: 'Export it as a 16-bit RGB TIFF with its profile embedded',
    })
  }
}
