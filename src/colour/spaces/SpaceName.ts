/** The standard spaces a picture can be written in, by their open-standard names, from small to large. */
export const SPACE_NAMES = ['sRGB', 'Display P3', 'opRGB', 'ROMM RGB'] as const
export type SpaceName = (typeof SPACE_NAMES)[number]
