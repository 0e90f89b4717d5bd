import type { Surface } from './surface.js'

/** What is known of a sheet's unpainted paper. Plain JSON. */
export interface PaperReading {
  basis: 'auto' | 'regions'
  windowsSampled: number
  windowsUsed: number
  /** Share of the looked-at area that is unpainted, 0..1. */
  blankShare: number
  /** The paper's own tone in linear light of the working space, median over the sheet, and as CIELAB (D50). */
  base: [number, number, number]
  baseLab: [number, number, number]
  /** Factor that brings the paper to 1, as a surface over the sheet, one a channel. */
  gains: [Surface, Surface, Surface]
  /** Lightest over darkest paper of the fitted surface, less one, in per cent. */
  unevenPercent: number
  /**
   * How far unpainted paper strays from white after the gain: darkness and colour, in linear light, of the mean over
   * 5 x 5 pixels and of single pixels. Inside, all is lifted to white.
   */
  near: { dark: number; colour: number }
  own: { dark: number; colour: number }
  warnings: string[]
}
