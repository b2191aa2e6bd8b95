/** A repair typed into the log on its screen. */
import type { Page } from 'playwright-core'

/** @param more what else of the entry is filled in before it is logged. */
export const logRepair = async (page: Page, part: string, action: string, more: () => Promise<unknown>): Promise<void> => {
  const before = await page.getByTestId('repair-entry').count()
  await page.getByTestId('repair-part').selectOption(part)
  await page.getByTestId('repair-action').selectOption(action)
  await more()
  await page.getByTestId('repair-by').fill('M. Rhys')
  await page.getByTestId('log-it').click()
  await page.getByTestId('repair-entry').nth(before).waitFor()
}
