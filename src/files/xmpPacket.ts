import type { Metadata } from './Metadata.js'

/** The field of the contact structure that a contact belongs in (IPTC Photo Metadata Standard, Creator's Contact Info). */
function contactField(contact: string): string {
  if (/^\S+@\S+$/.test(contact)) return 'CiEmailWork'
  if (/^(https?:\/\/|www\.)\S+$/i.test(contact)) return 'CiUrlWork'
  if (/^\+?[\d\s()/.-]{5,}$/.test(contact)) return 'CiTelWork'
  return 'CiAdrExtadr'
}

/**
 * An XMP packet with Dublin Core title, creator, rights and description and the creator's contact.
 * @returns UTF-8 bytes without padding; undefined where there is nothing to say
 * Source: ISO 16684-1:2019 (XMP), 7 and 8.3; IPTC Photo Metadata Standard (Iptc4xmpCore).
 */
export function xmpPacket(metadata: Metadata | undefined): Uint8Array | undefined {
  const { title, creator, rights, contact, description } = metadata ?? {}
  const said = (text?: string) => (text?.trim() ? escaped(text.trim()) : undefined)
  const alternative = (name: string, text?: string) =>
    text && `<dc:${name}><rdf:Alt><rdf:li xml:lang="x-default">${text}</rdf:li></rdf:Alt></dc:${name}>`
  const reach = said(contact)
  const field = contactField(contact?.trim() ?? '')
  const properties = [
    alternative('title', said(title)),
    said(creator) && `<dc:creator><rdf:Seq><rdf:li>${said(creator)}</rdf:li></rdf:Seq></dc:creator>`,
    alternative('rights', said(rights)),
    alternative('description', said(description)),
    reach &&
      `<Iptc4xmpCore:CreatorContactInfo rdf:parseType="Resource"><Iptc4xmpCore:${field}>${reach}</Iptc4xmpCore:${field}></Iptc4xmpCore:CreatorContactInfo>`,
  ].filter((property) => property !== undefined)
  if (properties.length === 0) return undefined
  return new TextEncoder().encode(
    [
      '<?xpacket begin="\uFEFF" id="W5M0MpCehiHzreSzNTczkc9d"?>',
      '<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">',
      '<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/" xmlns:Iptc4xmpCore="http://iptc.org/std/Iptc4xmpCore/1.0/xmlns/">',
      ...properties,
      '</rdf:Description></rdf:RDF></x:xmpmeta>',
      '<?xpacket end="r"?>',
      // A line end after the last mark: some readers look for one more character and warn of a mark left open.
      '',
    ].join('\n'),
  )
}

/** Text for XML 1.0: the five special characters named, characters that XML cannot hold left out. */
function escaped(text: string): string {
  const names: Record<string, string> = {
    '&': '&amp;',
    '<': '&lt;',
    '>': '&gt;',
    '"': '&quot;',
    "'": '&apos;',
  }
  return text.replace(/[^\P{Cc}\t\n\r]|[\ufffe\uffff]/gu, '').replace(/[&<>"']/g, (c) => names[c])
}
