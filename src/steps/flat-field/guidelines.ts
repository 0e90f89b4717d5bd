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

/**
 * Illumination: largest difference in L* between any two places of an even sheet, by the size of what is captured.
 * Source: Metamorfoze Preservation Imaging Guidelines, Image Quality, version 1.0, January 2012 (van Dormolen),
 * sections 1.2 and 2.4 to 2.21.
 */
export const ILLUMINATION_2012 = {
  name: 'Metamorfoze 1.0 (2012)',
  source:
    'Metamorfoze Preservation Imaging Guidelines, Image Quality, version 1.0, January 2012, sections 1.2 and 2.4 to 2.21',
  levels: [
    { size: 'A4 to A3', mostL: 3 },
    { size: 'above A3 to A2', mostL: 4 },
    { size: 'above A2 to A1', mostL: 5 },
    { size: 'above A1 to A0', mostL: 6 },
  ],
} as const
