export { blurred } from '../../../raster/blurred.js'
