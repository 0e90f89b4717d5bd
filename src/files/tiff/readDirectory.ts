/** Reads `length` bytes at `position`; rejects where the file ends before that. */
export type ReadBytes = (position: number, length: number) => Promise<Uint8Array>

/** One field of a TIFF directory, values as numbers (rationals divided) and as they lie in the file. */
export interface TiffField {
  type: number
  count: number
  bytes: Uint8Array
  values: number[]
}

export interface TiffDirectory {
  littleEndian: boolean
  /** BigTIFF: 64-bit offsets. */
  big: boolean
  fields: Map<number, TiffField>
  /** Where the next directory begins; 0 for none. */
  next: number
}

/** Bytes of each field type (TIFF 6.0, section 2; types 16 to 18 BigTIFF). */
const TYPE_BYTES = [0, 1, 1, 2, 4, 8, 1, 1, 2, 4, 8, 4, 8, 4, 0, 0, 8, 8, 8]
/** Fields with more values than this are kept as bytes only; offsets of strips stay far below it. */
const MAX_VALUES = 4_000_000

/**
 * The first directory of a TIFF, BigTIFF or EXIF block.
 * @param read gives bytes counted from the block's own start
 * @returns undefined where the block does not begin as a TIFF
 * @throws RangeError where a field makes no sense; whatever `read` throws
 */
export async function readDirectory(read: ReadBytes): Promise<TiffDirectory | undefined> {
  const head = view(await read(0, 8))
  const mark = head.getUint16(0, false)
  if (mark !== 0x4949 && mark !== 0x4d4d) return undefined
  const littleEndian = mark === 0x4949
  const version = head.getUint16(2, littleEndian)
  if (version !== 42 && version !== 43) return undefined
  const big = version === 43
  const at = big ? offset(view(await read(8, 8)), 0, true, littleEndian) : head.getUint32(4, littleEndian)
  return directoryAt(read, at, { littleEndian, big })
}

/**
 * A directory that another one points to, such as EXIF's (tag 34665).
 * @param at where it begins, counted from the block's own start
 * @throws RangeError where a field makes no sense; whatever `read` throws
 */
export async function directoryAt(
  read: ReadBytes,
  at: number,
  { littleEndian, big }: Pick<TiffDirectory, 'littleEndian' | 'big'>,
): Promise<TiffDirectory> {
  const countBytes = big ? 8 : 2
  const entryBytes = big ? 20 : 12
  const counted = view(await read(at, countBytes))
  const entries = big ? offset(counted, 0, true, littleEndian) : counted.getUint16(0, littleEndian)
  if (entries < 1 || entries > 4096) throw new RangeError(`its directory claims ${entries} fields`)
  const table = view(await read(at + countBytes, entries * entryBytes))
  const fields = new Map<number, TiffField>()
  for (let i = 0; i < entries; i++) {
    const p = i * entryBytes
    const tag = table.getUint16(p, littleEndian)
    const type = table.getUint16(p + 2, littleEndian)
    const count = big ? offset(table, p + 4, true, littleEndian) : table.getUint32(p + 4, littleEndian)
    const length = count * (TYPE_BYTES[type] ?? 0)
    if (length === 0) continue
    const inline = p + (big ? 12 : 8)
    const bytes =
      length <= (big ? 8 : 4)
        ? new Uint8Array(table.buffer, table.byteOffset + inline, length)
        : await read(offset(table, inline, big, littleEndian), length)
    const values =
      count <= MAX_VALUES && type !== 7 && type !== 2 ? decode(bytes, type, count, littleEndian) : []
    fields.set(tag, { type, count, bytes, values })
  }
  const end = at + countBytes + entries * entryBytes
  const next = await read(end, big ? 8 : 4).then(
    (bytes) => offset(view(bytes), 0, big, littleEndian),
    () => 0,
  )
  return { littleEndian, big, fields, next }
}

function view(bytes: Uint8Array): DataView {
  return new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)
}

function offset(data: DataView, at: number, big: boolean, littleEndian: boolean): number {
  if (!big) return data.getUint32(at, littleEndian)
  const value = Number(data.getBigUint64(at, littleEndian))
  if (!Number.isSafeInteger(value)) throw new RangeError(`it points to byte ${value}`)
  return value
}

function decode(bytes: Uint8Array, type: number, count: number, le: boolean): number[] {
  const data = view(bytes)
  const size = TYPE_BYTES[type]
  return Array.from({ length: count }, (_, i) => {
    const at = i * size
    switch (type) {
      case 1:
        return data.getUint8(at)
      case 6:
        return data.getInt8(at)
      case 3:
        return data.getUint16(at, le)
      case 8:
        return data.getInt16(at, le)
      case 4:
      case 13:
        return data.getUint32(at, le)
      case 9:
        return data.getInt32(at, le)
      case 5:
        return data.getUint32(at, le) / data.getUint32(at + 4, le)
      case 10:
        return data.getInt32(at, le) / data.getInt32(at + 4, le)
      case 11:
        return data.getFloat32(at, le)
      case 12:
        return data.getFloat64(at, le)
      default:
        return offset(data, at, true, le)
    }
  })
}
