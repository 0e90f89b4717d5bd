/** Moves the border between the two pictures (without scripts it stays in the middle) and unfolds everything for print. */
export const SCRIPT = `
for (const wipe of document.querySelectorAll('.wipe')) {
  const input = wipe.querySelector('input')
  const frame = wipe.querySelector('.frame')
  const set = () => wipe.style.setProperty('--cut', input.value + '%')
  const follow = (event) => {
    const { left, width } = frame.getBoundingClientRect()
    input.value = (100 * (event.clientX - left)) / width
    set()
  }
  input.addEventListener('input', set)
  frame.addEventListener('pointerdown', (event) => {
    frame.setPointerCapture(event.pointerId)
    follow(event)
  })
  frame.addEventListener('pointermove', (event) => event.buttons && follow(event))
  set()
}
let folded = []
addEventListener('beforeprint', () => {
  folded = [...document.querySelectorAll('details:not([open])')]
  for (const one of folded) one.open = true
})
addEventListener('afterprint', () => {
  for (const one of folded) one.open = false
})
`
