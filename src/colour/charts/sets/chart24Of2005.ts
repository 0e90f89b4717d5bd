import type { ChartReference } from '../ChartReference.js'
import { CHART24 } from '../chart24.js'

/**
 * The 24-patch chart made before November 2014: CIELAB, D50, CIE 1931 2 degree observer, in patch order (see chart24.ts).
 * Source: the chart maker's reference data (2016 publication), read from the colour-science library's
 * chromaticity coordinates data file, revision 9d74314 (BSD-3-Clause).
 */
export const CHART24_2005: ChartReference = {
  name: 'chart24-2005',
  description: '24-patch chart made before November 2014',
  source: "chart maker's reference data, 2016 publication; CIELAB, D50, 2 degrees",
  layout: CHART24,
  labD50: [
    [37.986, 13.555, 14.059],
    [65.711, 18.13, 17.81],
    [49.927, -4.88, -21.905],
    [43.139, -13.095, 21.905],
    [55.112, 8.844, -25.399],
    [70.719, -33.397, -0.199],
    [62.661, 36.067, 57.096],
    [40.02, 10.41, -45.964],
    [51.124, 48.239, 16.248],
    [30.325, 22.976, -21.587],
    [72.532, -23.709, 57.255],
    [71.941, 19.363, 67.857],
    [28.778, 14.179, -50.297],
    [55.261, -38.342, 31.37],
    [42.101, 53.378, 28.19],
    [81.733, 4.039, 79.819],
    [51.935, 49.986, -14.574],
    [51.038, -28.631, -28.638],
    [96.539, -0.425, 1.186],
    [81.257, -0.638, -0.335],
    [66.766, -0.734, -0.504],
    [50.867, -0.153, -0.27],
    [35.656, -0.421, -1.231],
    [20.461, -0.079, -0.973],
  ],
}
