/** The part of Little CMS's interface that is used here; the package brings no types. */
declare module 'lcms-wasm' {
  export interface Lcms {
    HEAPU8: Uint8Array
    _malloc(bytes: number): number
    _free(address: number): void
    _cmsOpenProfileFromMem(address: number, bytes: number): number
    cmsCreateXYZProfile(): number
    cmsCloseProfile(profile: number): void
    cmsCreateTransform(
      input: number,
      inputFormat: number,
      output: number,
      outputFormat: number,
      intent: number,
      flags: number,
    ): number
    cmsDeleteTransform(transform: number): void
    cmsDoTransform(transform: number, input: Float32Array | Uint16Array, pixels: number): Float32Array
    cmsGetProfileInfoASCII(profile: number, info: number, language: string, country: string): string
    cmsCreateLab4Profile(white?: readonly number[]): number
    cmsOpenProfileFromMem(bytes: Uint8Array, length: number): number
  }
  export function instantiate(): Promise<Lcms>
}
