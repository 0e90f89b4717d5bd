import sharp from 'sharp'

// Every picture passes once: libvips would keep what nobody asks for again.
sharp.cache(false)

export { sharp }
