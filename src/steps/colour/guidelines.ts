/** A published tolerance for colour, in mean CIEDE2000 over all measured patches. */
export interface ColourLevel {
  level: string
  /** The mean must be below this. */
  below: number
}

/**
 * Levels of colour accuracy for paintings and other two-dimensional art.
 * Source: FADGI, Technical Guidelines for Digitizing Cultural Heritage Materials, September 2016, table Paintings and
 * Other Two-Dimensional Art (Other Than Prints) (provisional).
 */
export const PAINTINGS_2016: { name: string; source: string; levels: readonly ColourLevel[] } = {
  name: 'FADGI 2016, paintings and 2D art',
  source:
    'FADGI, Technical Guidelines for Digitizing Cultural Heritage Materials, September 2016, table Paintings and Other Two-Dimensional Art (Other Than Prints) (provisional)',
  levels: [
    { level: '4 star', below: 2 },
    { level: '3 star', below: 4 },
    { level: '2 star', below: 6 },
    { level: '1 star', below: 10 },
  ],
}

/**
 * The highest level of the 2023 edition's same table; 90th percentile beside the mean.
 * Source: public colour calibration code commented with that table: a secondary source.
 */
export const PAINTINGS_2023 = {
  name: 'FADGI 2023, paintings and 2D art, 4 star',
  meanAtMost: 2,
  ninetiethAtMost: 4,
  source: 'FADGI, May 2023, paintings and 2D art, from a secondary source',
}
