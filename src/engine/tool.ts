/** The program's name and version as the run record states them; a test holds them to package.json. */
export const TOOL = { name: 'finetooth', version: '0.1.0' } as const
