import { deflateSync } from 'node:zlib'

export interface HandBuilt {
  width: number
  height: number
  /** Interleaved, as stored. */
  samples: readonly number[]
  channels?: number
  bits?: 8 | 16
  big?: boolean
  bigEndian?: boolean
  /** Each channel in strips or tiles of its own. */
  separate?: boolean
  /** Side of square tiles; strips otherwise. */
  tile?: number
  rowsPerStrip?: number
  deflate?: boolean
  photometric?: number
  orientation?: number
  extraSamples?: number[]
  /** Further fields: tag, type, values. Rationals as numerator and denominator. */
  fields?: [tag: number, type: number, values: number[]][]
}

const BYTES: Record<number, number> = { 1: 1, 2: 1, 3: 2, 4: 4, 5: 4, 7: 1, 10: 4, 16: 8 }

/**
 * A TIFF byte by byte after TIFF 6.0 (1992), for forms that no encoder at hand writes: 16 bits with separate planes,
 * BigTIFF, one strip, either byte order. The pixels come first and the directory last, as scanner drivers do it.
 */
export function handBuiltTiff(picture: HandBuilt): Uint8Array {
  const { width, height, channels = 3, bits = 16, big = false, separate = false, tile } = picture
  const le = !picture.bigEndian
  const pieces: number[][] = []
  const planes = separate ? Array.from({ length: channels }, (_, c) => [c]) : [[...Array(channels).keys()]]
  const rows = tile ?? picture.rowsPerStrip ?? height
  for (const plane of planes) {
    for (let top = 0; top < height; top += rows) {
      for (let left = 0; left < width; left += tile ?? width) {
        const piece: number[] = []
        for (let y = top; y < (tile ? top + rows : Math.min(top + rows, height)); y++) {
          for (let x = left; x < (tile ? left + tile : width); x++) {
            for (const c of plane) {
              piece.push(x < width && y < height ? picture.samples[(y * width + x) * channels + c] : 0)
            }
          }
        }
        pieces.push(piece)
      }
    }
  }
  const packed = pieces.map((piece) => {
    const bytes = new Uint8Array((piece.length * bits) / 8)
    const view = new DataView(bytes.buffer)
    piece.forEach((v, i) => {
      bits === 16 ? view.setUint16(i * 2, v, le) : view.setUint8(i, v)
    })
    return picture.deflate ? new Uint8Array(deflateSync(bytes)) : bytes
  })
  let end = big ? 16 : 8
  const offsets = packed.map((bytes) => {
    const at = end
    end += bytes.length + (bytes.length & 1)
    return at
  })
  const word = big ? 16 : 4
  const fields: [number, number, number[]][] = [
    [256, 4, [width]],
    [257, 4, [height]],
    [258, 3, new Array(channels).fill(bits)],
    [259, 3, [picture.deflate ? 8 : 1]],
    [262, 3, [picture.photometric ?? (channels >= 3 ? 2 : 1)]],
    [277, 3, [channels]],
    [284, 3, [separate ? 2 : 1]],
    [tile ? 324 : 273, word, offsets],
    [tile ? 325 : 279, word, packed.map((bytes) => bytes.length)],
    ...((tile
      ? [
          [322, 4, [tile]],
          [323, 4, [tile]],
        ]
      : [[278, 4, [rows]]]) as [number, number, number[]][]),
    ...(picture.orientation ? [[274, 3, [picture.orientation]] as [number, number, number[]]] : []),
    ...(picture.extraSamples ? [[338, 3, picture.extraSamples] as [number, number, number[]]] : []),
    ...(picture.fields ?? []),
  ]
  fields.sort((a, b) => a[0] - b[0])

  const directory = end
  const entry = big ? 20 : 12
  const inline = big ? 8 : 4
  end += big ? 8 + fields.length * entry + 8 : 2 + fields.length * entry + 4
  const places = fields.map(([, type, list]) => {
    const length = list.length * BYTES[type]
    if (length <= inline) return -1
    const at = end
    end += length + (length & 1)
    return at
  })
  const file = new Uint8Array(end)
  const view = new DataView(file.buffer)
  const pointer = (at: number, value: number) =>
    big ? view.setBigUint64(at, BigInt(value), le) : view.setUint32(at, value, le)
  file.set(le ? [0x49, 0x49] : [0x4d, 0x4d])
  view.setUint16(2, big ? 43 : 42, le)
  if (big) view.setUint16(4, 8, le)
  pointer(big ? 8 : 4, directory)
  packed.forEach((bytes, i) => {
    file.set(bytes, offsets[i])
  })
  if (big) pointer(directory, fields.length)
  else view.setUint16(directory, fields.length, le)
  fields.forEach(([tag, type, list], i) => {
    const at = directory + (big ? 8 : 2) + i * entry
    view.setUint16(at, tag, le)
    view.setUint16(at + 2, type, le)
    pointer(at + 4, type === 5 || type === 10 ? list.length / 2 : list.length)
    const target = places[i] < 0 ? at + 4 + inline : places[i]
    if (places[i] >= 0) pointer(at + 4 + inline, places[i])
    list.forEach((v, k) => {
      const size = BYTES[type]
      if (size === 1) view.setUint8(target + k, v)
      else if (size === 2) view.setUint16(target + k * 2, v, le)
      else if (size === 4) view.setUint32(target + k * 4, v, le)
      else view.setBigUint64(target + k * 8, BigInt(v), le)
    })
  })
  return file
}
