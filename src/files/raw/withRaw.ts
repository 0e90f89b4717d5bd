import { readFile } from 'node:fs/promises'
import { createRequire } from 'node:module'
import create, { type LibRaw, type RawMetadata } from 'libraw-wasm/dist/libraw.js'
import { FinetoothError } from '../../errors.js'
import { readProblem } from '../fileProblem.js'
import { unfit } from '../unfit.js'

/**
 * Opens an undeveloped camera file with LibRaw and lets `use` ask it. Every call has a LibRaw of its own, whose memory
 * goes with it: it grows to several times the picture and never shrinks.
 * @param settings of LibRaw, by what the file says of itself; its own defaults where left out
 * @throws RequestError where LibRaw cannot read the file, saying what to do instead
 */
export async function withRaw<T>(
  path: string,
  settings: ((meta: RawMetadata) => Record<string, unknown>) | undefined,
  use: (raw: LibRaw) => T,
): Promise<T> {
  const bytes = await readFile(path).catch((cause) => {
    throw readProblem(path, cause)
  })
  const wasmBinary = await readFile(createRequire(import.meta.url).resolve('libraw-wasm/dist/libraw.wasm'))
  const quiet = () => {}
  const { LibRaw } = await create({ wasmBinary, print: quiet, printErr: quiet })
  const raw = new LibRaw()
  try {
    raw.open(bytes)
    if (settings) raw.open(bytes, settings(raw.metadata(false)))
    return use(raw)
  } catch (cause) {
    if (cause instanceof FinetoothError) throw cause
    throw unfit(
      path,
      {
        what: 'this undeveloped camera file (or picture that begins with a preview) cannot be read: LibRaw does not know its camera or its packing, or it is damaged',
        expected: 'a camera raw file that LibRaw reads (most .dng, .cr2, .cr3, .nef, .arw, .raf, .orf, .rw2)',
        todo: "Develop it with the camera maker's program, or any other, to a linear 16-bit TIFF: no tone curve, no sharpening, no automatic corrections, white balance fixed; and write captures: { profile: none } or embed its profile",
      },
      cause,
    )
  } finally {
    raw.delete()
  }
}
