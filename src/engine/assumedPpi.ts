/** The resolution a master is given where neither a file nor the pipeline states one, in pixels per inch; always said. */
export const ASSUMED_PPI = 300
