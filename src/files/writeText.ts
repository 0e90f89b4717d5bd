import { writeAll, writeAtomically } from './writeAtomically.js'

/** Writes a text in UTF-8, atomically. Throws WorkError where it cannot. */
export async function writeText(path: string, text: string): Promise<void> {
  await writeAtomically(path, (file) => writeAll(file, new TextEncoder().encode(text)))
}
