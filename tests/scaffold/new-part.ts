/** What `npm run new` can make. */
export const partKinds = ['cause', 'panel', 'command'] as const;
export type PartKind = (typeof partKinds)[number];

/** A file to be written, new or changed; paths are relative to the project's root. */
export interface WrittenFile {
  readonly path: string;
  readonly text: string;
}

interface Registry {
  readonly path: string;
  readonly importLine: (name: string, camel: string) => string;
  readonly entry: (camel: string) => string;
}

const registries: Record<PartKind, Registry> = {
  cause: {
    path: 'src/causes/registry.ts',
    importLine: (name, camel) => `import { ${camel} } from './${name}.js';`,
    entry: (camel) => camel,
  },
  panel: {
    path: 'src/report/panels/index.ts',
    importLine: (name, camel) => `import { ${camel} } from './${name}.js';`,
    entry: (camel) => camel,
  },
  command: {
    path: 'src/cli/commands.ts',
    importLine: (name, camel) => `import { register${capital(camel)} } from './${name}.js';`,
    entry: (camel) => `register${capital(camel)}`,
  },
};

const folders: Record<PartKind, string> = { cause: 'causes', panel: 'report/panels', command: 'cli' };

/**
 * The files that a new part needs: its source, its line in the registry, and a test that fails until somebody writes it.
 *
 * @param name in lower case with hyphens, as the vocabulary writes it (`focus-drift`)
 * @param read gives the text of a file of the project, null when there is none
 * @throws RangeError when the name is malformed, taken, or a registry does not look as expected
 */
export function newPart(kind: PartKind, name: string, read: (path: string) => string | null): WrittenFile[] {
  if (!/^[a-z]+(-[a-z]+)*$/.test(name)) {
    throw new RangeError(`"${name}" is not a name: lower-case words joined by hyphens, like focus-drift`);
  }
  const camel = name.replace(/-(.)/g, (_, letter: string) => letter.toUpperCase());
  const source = `src/${folders[kind]}/${name}.ts`;
  const test = `tests/${folders[kind]}/${name}.test.ts`;
  for (const path of [source, test]) {
    if (read(path) !== null) throw new RangeError(`${path} is there already: take another name`);
  }
  const files: WrittenFile[] = [
    { path: source, text: templates[kind].source(name, camel) },
    { path: test, text: templates[kind].test(name, camel) },
    registered(kind, name, camel, read),
  ];
  if (kind === 'cause') {
    const path = 'src/causes/types.ts';
    files.push({
      path,
      text: replaced(path, read(path), /(export type CauseCode =[^;]*);/, `$1\n  | '${name}';`),
    });
  }
  return files;
}

function registered(
  kind: PartKind,
  name: string,
  camel: string,
  read: (path: string) => string | null,
): WrittenFile {
  const { path, importLine, entry } = registries[kind];
  const withImport = replaced(path, read(path), /^(import )/, `${importLine(name, camel)}\n$1`);
  return {
    path,
    text: replaced(path, withImport, /(= \[[^\]]*)(\n\];)/, `$1\n  ${entry(camel)},$2`),
  };
}

function replaced(path: string, text: string | null, pattern: RegExp, by: string): string {
  if (text === null || !pattern.test(text)) throw new RangeError(`${path} has no list to add to`);
  return text.replace(pattern, by);
}

function capital(word: string): string {
  return word[0]!.toUpperCase() + word.slice(1);
}

type Template = (name: string, camel: string) => string;

const templates: Record<PartKind, { readonly source: Template; readonly test: Template }> = {
  cause: {
    source: (name, camel) => `import type { Cause } from './types.js';

export const ${camel}: Cause = {
  meta: {
    code: '${name}',
    title: '',
    whyItMatters: '',
    looksLike: '',
    whatToDo: '',
    references: [],
  },
  needs: () => null,
  judge: () => ({ answer: 'cannot-tell', why: 'nothing is measured for it yet' }),
};
`,
    test: (name) => `import { describe, expect, it } from 'vitest';

describe('${name}', () => {
  it('fires', () => expect.fail('to be written: frames made with the fault are found'));
  it('stays quiet', () => expect.fail('to be written: a clean night reports nothing'));
  it('leaves its look-alike alone', () => expect.fail('to be written'));
  it('says so when there is too little data', () => expect.fail('to be written'));
});
`,
  },
  panel: {
    source: (name, camel) => `import { html } from '../html.js';
import type { Panel } from './panel.js';

export const ${camel}: Panel = {
  id: '${name}',
  title: '',
  draw: (view) => html\`<p>\${view.night.frames.length}</p>\`,
};
`,
    test: (name) => `import { describe, expect, it } from 'vitest';

describe('${name}', () => {
  it('draws the figures of the record', () => expect.fail('to be written: read them back from the drawing'));
});
`,
  },
  command: {
    source: (name, camel) => `import type { RegisterCommand } from './context.js';

/** \`starassay ${name}\`: */
export const register${capital(camel)}: RegisterCommand = (program, context) => {
  program
    .command('${name}')
    .description('')
    .addHelpText('after', '\\nExamples:\\n  starassay ${name}')
    .action(() => context.out(''));
};
`,
    test: (name) => `import { describe, expect, it } from 'vitest';

describe('starassay ${name}', () => {
  it('does its job', () => expect.fail('to be written'));
});
`,
  },
};
