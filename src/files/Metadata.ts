/** What is written beside the pixels; empty strings are left out. */
export interface Metadata {
  title?: string
  creator?: string
  rights?: string
  /** How to reach the creator: an e-mail or web address, a telephone number, or a postal address. */
  contact?: string
  description?: string
}
