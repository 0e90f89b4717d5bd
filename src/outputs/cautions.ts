/** What the tool says wherever originals are handled, printed or judged: in the ticket, the report and the README. */
export const CAUTIONS: string[] = [
  'Originals come first: handle sheets with clean, dry hands; put no pressure on flaking paint under the scanner lid; lamps can heat and fade originals, so keep exposures short.',
  'Reproduce only what you own or have permission for.',
  "Ink, coating and lamp makers' safety sheets and local rules on ventilation and disposal apply; make damp-finger and cleaning-cloth tests on a spare corner.",
  "Statements on permanence are the ink and paper makers', measured by their laboratories; none is made here.",
  'A soft proof on an uncalibrated screen proves nothing; colour is judged on paper, in the light where it will hang.',
]
