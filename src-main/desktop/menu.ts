/** The desktop's menu: what every program has, and the way to the user's own files. */
import type { MenuItemConstructorOptions } from 'electron'

export type MenuSetup = { platform: NodeJS.Platform; developer: boolean; showDataFolder: () => void }

const line: MenuItemConstructorOptions = { type: 'separator' }

/** No single letter and no Space is an accelerator: those keys are the bench's. */
export const menuOf = ({ platform, developer, showDataFolder }: MenuSetup): MenuItemConstructorOptions[] => [
  ...(platform === 'darwin' ? [{ role: 'appMenu' } as const] : []),
  {
    label: '&File',
    submenu: [
      { label: 'Show the &data folder', click: showDataFolder }, line,
      platform === 'darwin' ? { role: 'close' } : { role: 'quit' },
    ],
  },
  { role: 'editMenu' },
  {
    label: '&View',
    submenu: [
      { role: 'resetZoom' }, { role: 'zoomIn' }, { role: 'zoomOut' }, line, { role: 'togglefullscreen' },
      ...(developer ? [line, { role: 'reload' } as const, { role: 'toggleDevTools' } as const] : []),
    ],
  },
  { role: 'windowMenu' },
  ...(platform === 'darwin' ? [] : [{ label: '&Help', submenu: [{ role: 'about' } as const] }]),
]
