import type { RegisterCommand } from './context.js';

/** `starassay explain [CODE]`: what a cause means, how it is told from its neighbours, what to do. */
export const registerExplain: RegisterCommand = (program, context) => {
  program
    .command('explain')
    .argument('[code]', 'cause to explain, as the summary names it; without it, all are listed')
    .description('say what a cause means, how it is told from what looks like it, and what to do')
    .option('--json', 'the same as JSON')
    .addHelpText('after', '\nExamples:\n  $ starassay explain\n  $ starassay explain focus-drift')
    .action(async (code: string | undefined, options: { readonly json?: boolean }) => {
      const [{ causes, explainCause }, { RIG_CAUTIONS }] = await Promise.all([
        import('../causes/index.js'),
        import('../optics/index.js'),
      ]);
      if (code === undefined) {
        const metas = causes.map((cause) => cause.meta);
        const widest = Math.max(...metas.map((meta) => meta.code.length));
        context.out(
          options.json
            ? `${JSON.stringify(metas, null, 2)}\n`
            : metas.map((meta) => `${meta.code.padEnd(widest)}  ${meta.title}\n`).join(''),
        );
        return;
      }
      const meta = explainCause(code);
      if (options.json) {
        context.out(`${JSON.stringify({ ...meta, cautions: RIG_CAUTIONS }, null, 2)}\n`);
        return;
      }
      const width = Math.min(100, context.columns ?? 80);
      const section = (title: string, text: string): string => `${title}\n${wrap(text, width)}\n\n`;
      context.out(
        `${meta.code}: ${meta.title}\n\n` +
          section('Why it matters', meta.whyItMatters) +
          section('What looks like it but is not', meta.looksLike) +
          section('What to do', meta.whatToDo) +
          section('Cautions', RIG_CAUTIONS) +
          `Sources\n${meta.references.map((r) => wrap(r, width, '  - ', '    ')).join('\n')}\n`,
      );
    });
};

/** Break a text into lines of at most `width` characters, indented. */
function wrap(text: string, width: number, first = '  ', rest = '  '): string {
  const lines: string[] = [];
  let line = first;
  for (const word of text.split(' ')) {
    if (line.trim() !== '' && line.length + word.length + 1 > width && line !== first && line !== rest) {
      lines.push(line);
      line = rest;
    }
    line += line === first || line === rest ? word : ` ${word}`;
  }
  lines.push(line);
  return lines.join('\n');
}
