import type { TiffDirectory } from '../tiff/readDirectory.js'

/** PhotometricInterpretation of a mosaic and of linear numbers not yet developed (DNG 1.4, TIFF/EP). */
const UNDEVELOPED = [32803, 34892]

/** What undeveloped files that are no ordinary TIFF begin with. */
const BEGINNINGS = [/^FUJIFILMCCD-RAW/, /^....ftypcrx /s, /^II(RO|RS|U\0)/, /^MMOR/, /^FOVb/, /^\0MRM/]

/** Whether a file that is no ordinary TIFF begins as an undeveloped camera file does. */
export function beginsAsRaw(head: Uint8Array): boolean {
  const text = String.fromCharCode(...head)
  return BEGINNINGS.some((beginning) => beginning.test(text))
}

/** Endings of undeveloped files that begin as an ordinary TIFF would. */
const ENDINGS =
  /\.(dng|cr2|cr3|nef|nrw|arw|sr2|srf|raf|orf|rw2|rwl|pef|srw|3fr|fff|iiq|erf|mef|mos|mrw|dcr|kdc|x3f|gpr)$/i

/** Whether a TIFF is an undeveloped camera file, or begins with the preview of one. */
export function isUndeveloped(path: string, { fields }: TiffDirectory): boolean {
  const reduced = ((fields.get(254)?.values[0] ?? 0) & 1) === 1
  // 50706: DNGVersion.
  const [photometric] = fields.get(262)?.values ?? []
  return UNDEVELOPED.includes(photometric) || fields.has(50706) || reduced || ENDINGS.test(path)
}
