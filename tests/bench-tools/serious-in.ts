/** What axe (deque's engine, WCAG 2.2 A and AA rules) finds on a page. */
import AxeBuilder from '@axe-core/playwright'
import type { Page } from 'playwright-core'

/** A theme changes colours and nothing else: in the second one only the rules that look at colours are asked again. */
const rulesOfColour = ['color-contrast', 'link-in-text-block']

/** What is moderate or worse on the page as it is, with the places it is at; empty: nothing. */
export const seriousIn = async (page: Page, which: 'every-rule' | 'colours' = 'every-rule'): Promise<string[]> => {
  // No frame in these pages: axe needs no second page to gather what it found.
  const axe = new AxeBuilder({ page }).setLegacyMode(true)
  const { violations } = await (which === 'colours' ? axe.withRules(rulesOfColour)
    : axe.withTags(['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'])).analyze()
  return violations.filter(({ impact }) => impact === 'serious' || impact === 'critical' || impact === 'moderate')
    .map(({ id, nodes }) => `${id}: ${nodes.slice(0, 3).map(({ html }) => html.slice(0, 160)).join(' | ')}`)
}
