/**
 * Illuminance non-uniformity for paintings and other two-dimensional art; the row of 1 star is printed as "> 8 %" and is
 * left out.
 * Source: FADGI, Technical Guidelines for Digitizing Cultural Heritage Materials, September 2016, table Paintings and
 * Other Two-Dimensional Art (Other Than Prints) (provisional).
 */
export const UNIFORMITY_2016 = {
  name: 'FADGI 2016, paintings and 2D art',
  source:
    'FADGI, Technical Guidelines for Digitizing Cultural Heritage Materials, September 2016, table Paintings and Other Two-Dimensional Art (Other Than Prints) (provisional)',
  levels: [
    { level: '4 star', belowPercent: 1 },
    { level: '3 star', belowPercent: 3 },
    { level: '2 star', belowPercent: 5 },
  ],
} as const
