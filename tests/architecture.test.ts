import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { dirname, join, relative, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';

const root = fileURLToPath(new URL('..', import.meta.url));
const src = join(root, 'src');

const filesBelow = (folder: string): string[] =>
  readdirSync(folder, { recursive: true, encoding: 'utf8' })
    .map((name) => join(folder, name))
    .filter((name) => name.endsWith('.ts'))
    // AssemblyScript: another language, compiled by itself, that nothing imports.
    .filter((name) => !name.includes(join('kernels', 'assembly')));

const sources = filesBelow(src);
const code = sources.filter((file) => !file.endsWith('.d.ts'));

/** What each folder may import; a file at the top of src/ goes by its own name. */
const base = ['kernels', 'optics', 'stats', 'errors', 'package-root'];
const allowed: Record<string, readonly string[]> = {
  errors: [],
  'package-root': [],
  kernels: ['package-root'],
  stats: ['errors'],
  optics: ['stats', 'errors', 'fits'],
  fits: base,
  image: ['fits', ...base],
  stars: ['image', 'fits', ...base],
  field: ['stars', 'image', 'fits', ...base],
  night: ['field', 'stars', 'image', 'fits', ...base],
  causes: ['night', 'field', 'stars', 'image', 'fits', ...base],
  pool: ['causes', 'night', 'field', 'stars', 'image', 'fits', ...base],
  rig: ['causes', 'night', 'field', 'stars', 'image', 'fits', ...base],
  report: ['rig', 'causes', 'night', 'field', 'stars', 'image', 'fits', ...base],
  // The simulator shares no arithmetic with the estimators: it may know how a FITS file is laid out, and nothing else.
  simulate: ['fits', 'errors', 'package-root'],
  'assess-night': ['report', 'rig', 'pool', 'causes', 'night', 'field', 'stars', 'image', 'fits', ...base],
  index: ['assess-night', 'pool', 'causes', 'night', 'field', 'stars', 'image', 'fits', ...base],
  cli: [
    'assess-night',
    'simulate',
    'report',
    'rig',
    'pool',
    'causes',
    'night',
    'field',
    'stars',
    'image',
    'fits',
    ...base,
  ],
};

const roomOf = (file: string): string =>
  relative(src, file)
    .replace(/\.(d\.)?ts$/, '')
    .split('/')[0]!;

interface Import {
  readonly from: string;
  readonly to: string;
  readonly typeOnly: boolean;
}
const imports: Import[] = code.flatMap((file) =>
  [
    ...readFileSync(file, 'utf8').matchAll(
      /(?:import|export)\s+(type\s+)?[^;'"]*?from\s+'(\.[^']+)'|import\('(\.[^']+)'\)/g,
    ),
  ].map((match) => ({
    from: file,
    to: resolve(dirname(file), (match[2] ?? match[3])!.replace(/\.js$/, '.ts')),
    typeOnly: match[1] !== undefined,
  })),
);

describe('the arrows of the architecture', () => {
  it('reads imports at all', () => {
    expect(imports.length).toBeGreaterThan(20);
  });

  it('every local import names a file that is there', () => {
    expect(
      imports
        .filter((i) => !existsSync(i.to))
        .map((i) => `${relative(root, i.from)} -> ${relative(root, i.to)}`),
    ).toEqual([]);
  });

  it('point one way', () => {
    const wrong = imports
      .filter(({ from, to }) => {
        const [here, there] = [roomOf(from), roomOf(to)];
        return here !== there && !allowed[here]?.includes(there);
      })
      // Record types of header and causes are plain data: naming the type of a record that is passed in is no dependency on code.
      .filter(({ from, to, typeOnly }) => !(typeOnly && roomOf(from) === 'optics' && roomOf(to) === 'fits'))
      .map(({ from, to }) => `${relative(root, from)} -> ${relative(root, to)}`);
    expect(wrong).toEqual([]);
  });

  it('optics knows records of fits by type only', () => {
    const wrong = imports.filter(
      (i) => roomOf(i.from) === 'optics' && roomOf(i.to) === 'fits' && !i.typeOnly,
    );
    expect(wrong.map((i) => relative(root, i.from))).toEqual([]);
  });

  it('reach other folders through their index or types', () => {
    const wrong = imports
      .filter(({ from, to }) => roomOf(from) !== roomOf(to) && dirname(to) !== src)
      .filter(({ to }) => !/\/(index|types)\.ts$/.test(to))
      .map(({ from, to }) => `${relative(root, from)} -> ${relative(root, to)}`);
    expect(wrong).toEqual([]);
  });

  it('have no cycle between files', () => {
    const graph = new Map<string, string[]>();
    for (const { from, to, typeOnly } of imports) {
      if (!typeOnly) graph.set(from, [...(graph.get(from) ?? []), to]);
    }
    const state = new Map<string, 'open' | 'done'>();
    const cycles: string[] = [];
    const visit = (file: string, path: readonly string[]): void => {
      if (state.get(file) === 'done') return;
      if (state.get(file) === 'open') {
        cycles.push([...path.slice(path.indexOf(file)), file].map((f) => relative(src, f)).join(' -> '));
        return;
      }
      state.set(file, 'open');
      for (const next of graph.get(file) ?? []) visit(next, [...path, file]);
      state.set(file, 'done');
    };
    for (const file of graph.keys()) visit(file, []);
    expect(cycles).toEqual([]);
  });
});

describe('the registries', () => {
  it('list every command file', () => {
    const registry = readFileSync(join(src, 'cli/commands.ts'), 'utf8');
    const commandFiles = readdirSync(join(src, 'cli')).filter((name) =>
      /\bRegisterCommand\b/.test(readFileSync(join(src, 'cli', name), 'utf8')),
    );
    const missing = commandFiles
      .filter((name) => !['commands.ts', 'context.ts'].includes(name))
      .filter((name) => !registry.includes(`./${name.replace(/\.ts$/, '.js')}`));
    expect(missing).toEqual([]);
  });

  it('list every cause file', () => {
    const registry = readFileSync(join(src, 'causes/registry.ts'), 'utf8');
    const causeFiles = readdirSync(join(src, 'causes')).filter((name) =>
      /export const \w+: Cause = /.test(readFileSync(join(src, 'causes', name), 'utf8')),
    );
    expect(causeFiles.length).toBeGreaterThanOrEqual(14);
    expect(causeFiles.filter((name) => !registry.includes(`./${name.replace(/\.ts$/, '.js')}`))).toEqual([]);
  });
});

describe('the tests', () => {
  const exempt = /(\/(types|index)\.ts$)|(\/cli\/(main|context|commands)\.ts$)|(\/src\/index\.ts$)/;
  const untested = code
    .filter((file) => !exempt.test(file))
    // A file that holds only type declarations has nothing to test.
    .filter((file) => /\b(function|const|class)\b/.test(readFileSync(file, 'utf8')))
    .map((file) => relative(src, file).replace(/\.ts$/, '.test.ts'))
    .filter((name) => !existsSync(join(root, 'tests', name)));
  // Sources that are tested only through others so far. The list may shrink, never grow: a new source comes with its own test.
  const debt = JSON.parse(readFileSync(join(root, 'tests/unmirrored.json'), 'utf8')) as readonly string[];

  it('mirror every source that is not on the list of debts', () => {
    expect(untested.filter((name) => !debt.includes(name))).toEqual([]);
  });
});

describe('the entry file', () => {
  it('alone touches the process', () => {
    const wrong = code
      .filter((file) => !file.endsWith('cli/main.ts'))
      .filter((file) =>
        /(^|[^.\w'])process\.\w/m.test(readFileSync(file, 'utf8').replace(/\/\*[\s\S]*?\*\/|\/\/.*/g, '')),
      );
    expect(wrong.map((file) => relative(root, file))).toEqual([]);
  });
});
