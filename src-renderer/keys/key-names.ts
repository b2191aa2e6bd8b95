/** Which key of the keyboard a shown key means: "Space", "←", "R". */

const named: Record<string, string> = {
  space: ' ',
  enter: 'Enter',
  return: 'Enter',
  esc: 'Escape',
  escape: 'Escape',
  tab: 'Tab',
  backspace: 'Backspace',
  delete: 'Delete',
  '←': 'ArrowLeft',
  '→': 'ArrowRight',
  '↑': 'ArrowUp',
  '↓': 'ArrowDown',
  left: 'ArrowLeft',
  right: 'ArrowRight',
  up: 'ArrowUp',
  down: 'ArrowDown',
  'page up': 'PageUp',
  'page down': 'PageDown',
  home: 'Home',
  end: 'End',
}

/** Whether `pressed` (a KeyboardEvent's key) is the key shown; letters in either case. */
export const isShownKey = (shown: string, pressed: string): boolean => {
  const meant = named[shown.toLowerCase()] ?? shown
  return meant.toLowerCase() === pressed.toLowerCase()
}
