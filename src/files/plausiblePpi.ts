/**
 * A resolution a capture can really have, or undefined with a note that says why it was not believed.
 * Not believed: below 30 or above 20,000 ppi; exactly 72 ppi, which EXIF designates for "unknown" (Exif 2.3,
 * XResolution: "When the image resolution is unknown, 72 [dpi] is designated") and many programs write by default;
 * resolutions that differ by more than 1 % between across and down.
 * @param xPpi, yPpi pixels per inch as stored; undefined or not finite where the file is silent
 */
export function plausiblePpi(xPpi?: number, yPpi = xPpi): { ppi?: number; note?: string } {
  if (xPpi === undefined || yPpi === undefined || !Number.isFinite(xPpi) || !Number.isFinite(yPpi)) return {}
  const told = (n: number) => String(Math.round(n * 100) / 100)
  if (Math.abs(xPpi - yPpi) > 0.01 * Math.max(xPpi, yPpi)) {
    return { note: `the file states ${told(xPpi)} ppi across and ${told(yPpi)} ppi down; neither is used` }
  }
  // PNG and the centimetre unit store whole pixels a metre or a centimetre: 2835 / m is 72.009 ppi.
  if (Math.abs(xPpi - 72) < 0.02) {
    return { note: 'the file states 72 ppi, which programs write when they do not know; it is not used' }
  }
  if (xPpi < 30 || xPpi > 20000) {
    // 25.4 is one pixel a millimetre, what libvips writes where it knows nothing.
    return xPpi <= 2 || Math.abs(xPpi - 25.4) < 0.01
      ? {}
      : { note: `the file states ${told(xPpi)} ppi, which no capture has; it is not used` }
  }
  // Whole pixels a metre cannot say 300: 11811 / m is 299.9994.
  const whole = Math.round(xPpi)
  return { ppi: Math.abs(xPpi - whole) < 0.015 ? whole : xPpi }
}
