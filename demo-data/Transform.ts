/** `[a, b, c, d, e, f]`: x' = a x + b y + c, y' = d x + e y + f, for pixel centres at integers. */
export type Transform = [number, number, number, number, number, number]
