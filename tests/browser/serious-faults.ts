import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { Page } from 'playwright-core';

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

/** What axe-core finds seriously wrong with a page, one line each; throws when it tested hardly anything. */
export async function seriousFaults(page: Page): Promise<string[]> {
  // Playwright's own channel, because the page's policy lets nobody add a script.
  const found = (await page.evaluate(
    `(() => { ${axe}; return axe.run(document, { resultTypes: ['violations'] }); })()`,
  )) as { passes: unknown[]; violations: { id: string; impact: string; nodes: { html: string }[] }[] };
  if (found.passes.length < 15) throw new Error(`axe-core ran only ${found.passes.length} checks`);
  return found.violations
    .filter(({ impact }) => impact === 'serious' || impact === 'critical')
    .map(({ id, nodes }) => `${id}: ${nodes[0]!.html.slice(0, 200)}`);
}
