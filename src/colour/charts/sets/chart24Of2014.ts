import type { ChartReference } from '../ChartReference.js'
import { CHART24 } from '../chart24.js'

/**
 * The 24-patch chart made since November 2014: CIELAB, D50, CIE 1931 2 degree observer, in patch order (see chart24.ts).
 * Source: the chart maker's reference data (2016 publication), read from the colour-science library's
 * chromaticity coordinates data file, revision 9d74314 (BSD-3-Clause).
 */
export const CHART24_2014: ChartReference = {
  name: 'chart24-2014',
  description: '24-patch chart made since November 2014',
  source: "chart maker's reference data, 2016 publication; CIELAB, D50, 2 degrees",
  layout: CHART24,
  labD50: [
    [37.54, 14.37, 14.92],
    [64.66, 19.27, 17.5],
    [49.32, -3.82, -22.54],
    [43.46, -12.74, 22.72],
    [54.94, 9.61, -24.79],
    [70.48, -32.26, -0.37],
    [62.73, 35.83, 56.5],
    [39.43, 10.75, -45.17],
    [50.57, 48.64, 16.67],
    [30.1, 22.54, -20.87],
    [71.77, -24.13, 58.19],
    [71.51, 18.24, 67.37],
    [28.37, 15.42, -49.8],
    [54.38, -39.72, 32.27],
    [42.43, 51.05, 28.62],
    [81.8, 2.67, 80.41],
    [50.63, 51.28, -14.12],
    [49.57, -29.71, -28.32],
    [95.19, -1.03, 2.93],
    [81.29, -0.57, 0.44],
    [66.89, -0.75, -0.06],
    [50.76, -0.13, 0.14],
    [35.63, -0.46, -0.48],
    [20.64, 0.07, -0.46],
  ],
}
