/** The desktop's menu: no key of the bench is taken away by it. */
import type { MenuItemConstructorOptions } from 'electron'
import { describe, expect, it } from 'vitest'
import { menuOf } from '../../src-main/desktop/menu'
import { closeAfterEach } from '../bench-tools/close-after-each'
import { openDesktop } from './open-desktop'

const later = closeAfterEach()
const items = (menu: MenuItemConstructorOptions[]): MenuItemConstructorOptions[] =>
  menu.flatMap((item) => [item, ...(Array.isArray(item.submenu) ? items(item.submenu) : [])])

describe('the menu', () => {
  it.each(['linux', 'win32', 'darwin'] as const)('on %s binds no key of its own, and offers a way out', (platform) => {
    const all = items(menuOf({ platform, developer: true, showDataFolder: () => undefined }))
    expect(all.filter(({ accelerator }) => accelerator !== undefined)).toEqual([])
    expect(all.some(({ role }) => role === 'quit' || role === 'appMenu')).toBe(true)
    const empty = all.filter(({ role, submenu, click }) => role === undefined && submenu === undefined && click === undefined)
    expect(empty.filter(({ type }) => type !== 'separator')).toEqual([])
  })

  it('has the developer’s tools for a developer only', () => {
    const roles = (developer: boolean): unknown[] =>
      items(menuOf({ platform: 'linux', developer, showDataFolder: () => undefined })).map(({ role }) => role)
    expect(roles(true)).toEqual(expect.arrayContaining(['reload', 'toggleDevTools']))
    expect(roles(false)).not.toEqual(expect.arrayContaining(['reload']))
    expect(roles(false)).not.toEqual(expect.arrayContaining(['toggleDevTools']))
  })

  it('shows the data folder, where a user’s own boards and meters lie', async () => {
    const { world, dataFolder } = await openDesktop(later)
    const show = items(world.menu as MenuItemConstructorOptions[]).find(({ click }) => click !== undefined)
    const [press] = [show?.click as (() => void) | undefined]
    press?.()
    expect([show?.label, world.opened]).toEqual(['Show the &data folder', [dataFolder]])
  })
})
