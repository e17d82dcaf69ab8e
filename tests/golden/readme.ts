import { fileURLToPath } from 'node:url';
import type { NightAssessment } from '../../src/causes/types.js';
import { nightSummary, nightTable } from '../../src/report/index.js';

export const readmeFile = fileURLToPath(new URL('../../README.md', import.meta.url));

const style = { columns: 114, color: false };

/** What README.md shows of the sample night: the table, and the first cause with its evidence and advice. */
export function readmeBlocks(night: NightAssessment): readonly string[] {
  const drift = nightSummary(night, style)
    .split('\n\n')
    .find((part) => part.startsWith('Focus drifts'));
  if (drift === undefined) throw new RangeError('the sample night no longer shows a focus drift');
  return [nightTable(night, style), drift];
}

/** README.md with its blocks of output replaced; a block is known by its first word. */
export function withBlocks(readme: string, blocks: readonly string[]): string {
  return blocks.reduce((text, block) => {
    const firstWord = block.slice(0, block.indexOf(' '));
    return text.replace(
      new RegExp(`(\`\`\`\\n)${firstWord} [^\`]*(\`\`\`)`),
      (_, open: string, close: string) => [open, block, '\n', close].join(''),
    );
  }, readme);
}
