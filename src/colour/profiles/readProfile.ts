import { RequestError } from '../../errors.js'

/** What an ICC profile says in its header and where its elements lie. */
export interface Profile {
  /** As the person knows it, for messages. */
  label: string
  bytes: Uint8Array
  view: DataView
  /** Major version: 2 or 4. */
  version: number
  /** Four letters: `scnr`, `mntr`, `prtr`, `spac`. */
  deviceClass: string
  /** `RGB ` or `GRAY`. */
  colourSpace: string
  /** `XYZ ` or `Lab `. */
  connectionSpace: string
  /** Element of each tag by its signature. */
  tags: ReadonlyMap<string, { offset: number; size: number }>
}

const HEADER_BYTES = 128
const ADVICE = 'Give an ICC profile of the capturing device (RGB or grey), or leave the profile out'

const CLASSES: Record<string, string> = {
  scnr: 'an input profile',
  mntr: 'a display profile',
  prtr: 'an output profile',
  spac: 'a colour space profile',
  link: 'a device link',
  abst: 'an abstract profile',
  nmcl: 'a named colour profile',
}
const SPACES: Record<string, string> = { 'RGB ': 'RGB', GRAY: 'grey', 'Lab ': 'Lab', 'XYZ ': 'XYZ' }

/** Why a profile cannot be used, with what to do. */
export function unfitProfile(label: string, what: string, expected?: string, found?: string): RequestError {
  return new RequestError({ where: label, what, expected, found, todo: ADVICE })
}

/** Four bytes as letters; what is not printable shows as a point. */
export function signature(bytes: Uint8Array, at: number): string {
  return String.fromCharCode(...bytes.subarray(at, at + 4)).replace(/[^ -~]/g, '.')
}

/**
 * Reads and checks a profile's header and tag table; elements are read by those who need them.
 * @param label the profile or the picture that carries it, as the person wrote it
 * @throws RequestError for what is no ICC profile, is cut short, or is of a class or colour space no capture has
 * Source: ICC.1:2022, 7.2 and 7.3.
 */
export function readProfile(bytes: Uint8Array, label: string): Profile {
  const unfit = (what: string, expected?: string, found?: string) =>
    unfitProfile(label, what, expected, found)
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)
  if (bytes.length < HEADER_BYTES + 4) {
    throw unfit('the ICC profile is too short', `at least ${HEADER_BYTES + 4} bytes`, `${bytes.length}`)
  }
  if (signature(bytes, 36) !== 'acsp') {
    throw unfit('this is no ICC profile', '"acsp" at byte 36', `"${signature(bytes, 36)}"`)
  }
  const stated = view.getUint32(0)
  if (stated > bytes.length) {
    throw unfit('the ICC profile is cut short', `${stated} bytes as its header says`, `${bytes.length}`)
  }
  const version = bytes[8]
  if (version !== 2 && version !== 4) {
    throw unfit('the ICC profile has a version that is not read', 'version 2 or 4', `${version}`)
  }
  const deviceClass = signature(bytes, 12)
  if (!['scnr', 'mntr', 'prtr', 'spac'].includes(deviceClass)) {
    const found = CLASSES[deviceClass] ?? `class "${deviceClass}"`
    throw unfit(
      'the ICC profile describes no device',
      'an input, display, output or colour space profile',
      found,
    )
  }
  const colourSpace = signature(bytes, 16)
  if (colourSpace !== 'RGB ' && colourSpace !== 'GRAY') {
    const found = SPACES[colourSpace] ?? colourSpace.trim()
    throw unfit('the ICC profile is not for captures', 'a profile for RGB or grey', `one for ${found}`)
  }
  const connectionSpace = signature(bytes, 20)
  if (connectionSpace !== 'XYZ ' && connectionSpace !== 'Lab ') {
    throw unfit('the ICC profile has an unknown connection space', 'XYZ or Lab', `"${connectionSpace}"`)
  }
  return {
    ...{ label, bytes, view, version, deviceClass, colourSpace, connectionSpace },
    tags: readTags(view, bytes, label),
  }
}

function readTags(view: DataView, bytes: Uint8Array, label: string): Profile['tags'] {
  const count = view.getUint32(HEADER_BYTES)
  const tableEnd = HEADER_BYTES + 4 + 12 * count
  if (tableEnd > bytes.length) {
    throw unfitProfile(label, 'the ICC profile is damaged', 'a tag table inside it', `${count} tags`)
  }
  const tags = new Map<string, { offset: number; size: number }>()
  for (let at = HEADER_BYTES + 4; at < tableEnd; at += 12) {
    const name = signature(bytes, at)
    const offset = view.getUint32(at + 4)
    const size = view.getUint32(at + 8)
    if (size < 8 || offset < HEADER_BYTES || offset + size > bytes.length) {
      const found = `${size} bytes at ${offset} of ${bytes.length}`
      throw unfitProfile(label, `the ICC profile's "${name}" lies outside it`, 'elements inside it', found)
    }
    tags.set(name, { offset, size })
  }
  return tags
}
