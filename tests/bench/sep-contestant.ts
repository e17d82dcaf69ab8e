import { spawn, spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';

/** What `sep-contest.py` answers for a frame: processor time (ms) and what it found. */
export interface SepAnswer {
  readonly ms: number;
  readonly objects: number;
  readonly halfFluxRadius: number;
  readonly level: number;
  readonly noise: number;
  /** FITS positions of what looks like a star by the library's own figures. */
  readonly starX: readonly number[];
  readonly starY: readonly number[];
  /** Its sky, ADU, at every `skyGrid`-th pixel of every such row, from the first on. */
  readonly skyGrid: number;
  readonly sky: readonly (readonly number[])[];
}

export interface SepContestant {
  readonly ask: (path: string) => Promise<SepAnswer>;
  readonly stop: () => void;
}

/** The independent library, pinned to one core, started once. Null where it is not installed. */
export function startSep(): SepContestant | null {
  const python = '/usr/bin/python3';
  if (!existsSync(python) || spawnSync(python, ['-c', 'import sep, astropy']).status !== 0) return null;
  const script = fileURLToPath(new URL('sep-contest.py', import.meta.url));
  const child = spawn('taskset', ['-c', '0', python, script], { stdio: ['pipe', 'pipe', 'inherit'] });
  const lines = createInterface({ input: child.stdout })[Symbol.asyncIterator]();
  return {
    ask: async (path) => {
      child.stdin.write(`${path}\n`);
      return JSON.parse((await lines.next()).value as string) as SepAnswer;
    },
    stop: () => void child.stdin.end(),
  };
}
