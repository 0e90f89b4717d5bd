import { exists } from '../files/exists.js'
import { expandGlob } from '../files/expandGlob.js'
import { isFolder } from '../files/isFolder.js'
import { readText } from '../files/readText.js'
import type { Disk } from './Disk.js'

/** The disk as it is. */
export const realDisk: Disk = { readText, expandGlob, exists, isFolder }
