import { endianness } from 'node:os'

/** What a TIFF we write states before its pixels. */
export interface TiffFacts {
  width: number
  height: number
  depth: 8 | 16
  ppi: number
  profile?: Uint8Array
  xmp?: Uint8Array
}

/** Strips of about this size: readers hold one at a time. */
const STRIP_BYTES = 1 << 20
/** Classic TIFF counts bytes in 32 bits. */
const CLASSIC_LIMIT = 0xffffffff

const SHORT = 3
const LONG = 4
const RATIONAL = 5
const UNDEFINED = 7
const BYTE = 1
const LONG8 = 16

/**
 * Everything of an uncompressed RGB TIFF that stands before the pixels: header, directory, resolution, profile
 * (tag 34675, ICC.1), XMP (tag 700). The pixels follow without gaps, row by row, in this machine's byte order.
 * @param facts.ppi kept to a thousandth
 * @param limit bytes above which it becomes a BigTIFF; a parameter so that a test need not write four gigabytes
 * Source: TIFF Revision 6.0 (1992); BigTIFF as documented by libtiff.
 */
export function tiffHead(facts: TiffFacts, limit = CLASSIC_LIMIT): Uint8Array {
  const { width, height, depth } = facts
  const rowBytes = width * 3 * (depth / 8)
  const rowsPerStrip = Math.min(height, Math.max(1, Math.floor(STRIP_BYTES / rowBytes)))
  const strips = Math.ceil(height / rowsPerStrip)
  const beside = (facts.profile?.length ?? 0) + (facts.xmp?.length ?? 0) + strips * 16 + 1024
  const big = rowBytes * height + beside > limit
  const pointer = big ? LONG8 : LONG
  const resolution = [Math.round(facts.ppi * 1000), 1000]
  const fields: [tag: number, type: number, values: number[] | Uint8Array][] = [
    [256, LONG, [width]],
    [257, LONG, [height]],
    [258, SHORT, [depth, depth, depth]],
    [259, SHORT, [1]], // no compression
    [262, SHORT, [2]], // RGB
    [273, pointer, new Array<number>(strips).fill(0)],
    [277, SHORT, [3]],
    [278, LONG, [rowsPerStrip]],
    [
      279,
      pointer,
      Array.from({ length: strips }, (_, i) => Math.min(rowsPerStrip, height - i * rowsPerStrip) * rowBytes),
    ],
    [282, RATIONAL, resolution],
    [283, RATIONAL, resolution],
    [284, SHORT, [1]], // channels interleaved
    [296, SHORT, [2]], // inch
  ]
  if (facts.xmp) fields.push([700, BYTE, facts.xmp])
  if (facts.profile) fields.push([34675, UNDEFINED, facts.profile])

  const start = big ? 16 : 8
  const inlineBytes = big ? 8 : 4
  const directoryBytes = big ? 8 + fields.length * 20 + 8 : 2 + fields.length * 12 + 4
  let end = start + directoryBytes
  const places = fields.map(([, type, values]) => {
    const length = values.length * bytesEach(type)
    if (length <= inlineBytes) return -1
    const at = (end + 7) & ~7
    end = at + length
    return at
  })
  const pixels = (end + 15) & ~15
  fields[5][2] = Array.from({ length: strips }, (_, i) => pixels + i * rowsPerStrip * rowBytes)

  const head = new Uint8Array(pixels)
  const view = new DataView(head.buffer)
  const le = endianness() === 'LE'
  const word = (at: number, value: number) =>
    big ? view.setBigUint64(at, BigInt(value), le) : view.setUint32(at, value, le)
  head.set(le ? [0x49, 0x49] : [0x4d, 0x4d])
  view.setUint16(2, big ? 43 : 42, le)
  if (big) view.setUint16(4, 8, le)
  word(big ? 8 : 4, start)
  if (big) word(start, fields.length)
  else view.setUint16(start, fields.length, le)
  fields.forEach(([tag, type, values], i) => {
    const at = start + (big ? 8 + i * 20 : 2 + i * 12)
    view.setUint16(at, tag, le)
    view.setUint16(at + 2, type, le)
    word(at + 4, type === RATIONAL ? values.length / 2 : values.length)
    const inline = at + 4 + inlineBytes
    if (places[i] >= 0) word(inline, places[i])
    put(view, places[i] < 0 ? inline : places[i], type, values, le)
  })
  return head
}

/** Bytes of one entry of `values`; a rational is two entries. */
function bytesEach(type: number): number {
  return { [SHORT]: 2, [LONG]: 4, [RATIONAL]: 4, [LONG8]: 8 }[type] ?? 1
}

function put(view: DataView, at: number, type: number, values: number[] | Uint8Array, le: boolean): void {
  const each = bytesEach(type)
  values.forEach((value: number, i: number) => {
    if (each === 1) view.setUint8(at + i, value)
    else if (each === 2) view.setUint16(at + i * 2, value, le)
    else if (each === 4) view.setUint32(at + i * 4, value, le)
    else view.setBigUint64(at + i * 8, BigInt(value), le)
  })
}
