/** Of a pair's windows, a greater share than this not found again or elsewhere is too many for one flat sheet. */
export const MOST_LOST = 0.6

export const FLAT_TODO = 'Capture the sheet lying flat, square to the device and at one resolution'
