import { execFileSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync, symlinkSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { defaultFrameOptions, type FrameOutcome } from '../../src/field/index.js';
import { assessFrames, chooseThreadCount, type AssessFramesOptions } from '../../src/pool/assess-frames.js';
import { openFrameCache } from '../../src/pool/frame-cache.js';
import { sampleNight } from '../cli/run-command.js';

const found = (...files: string[]) => files.map((file) => ({ file, path: join(sampleNight, file) }));
const [one, two] = ['heron-field_L_120s_001.fits', 'heron-field_L_120s_002.fits'];
const inline: AssessFramesOptions = {
  frame: defaultFrameOptions,
  threads: 0,
  signal: null,
  onProgress: null,
  memory: null,
};

describe('many frames', () => {
  it('come back in the order given; what cannot be read is listed, and the others go on', async () => {
    const seen: number[] = [];
    const { frames, unreadable } = await assessFrames(found(two, 'truth.json', one), {
      ...inline,
      onProgress: ({ done, total }) => void seen.push(done / total),
    });
    expect(frames.map((frame) => frame.file)).toEqual([two, one]);
    expect(unreadable).toMatchObject([{ file: 'truth.json', error: { code: 'fits-format' } }]);
    expect(seen).toEqual([1 / 3, 2 / 3, 1]);
  });

  it.skipIf(process.platform === 'win32')(
    'go on past pipes, links in a circle, folders and devices',
    async () => {
      const folder = mkdtempSync(join(tmpdir(), 'starassay-odd-'));
      const odd = (file: string): { file: string; path: string } => ({ file, path: join(folder, file) });
      execFileSync('mkfifo', [odd('pipe.fits').path]);
      symlinkSync(odd('b.fits').path, odd('a.fits').path);
      symlinkSync(odd('a.fits').path, odd('b.fits').path);
      mkdirSync(odd('folder.fits').path);
      const paths = ['pipe.fits', 'a.fits', 'folder.fits', 'gone.fits'].map(odd);
      const memory = openFrameCache({ folder: join(folder, 'cache') });
      const { frames, unreadable } = await assessFrames([...paths, ...found(one)], {
        ...inline,
        threads: null,
        memory,
      });
      rmSync(folder, { recursive: true });
      expect(frames.map((frame) => frame.file)).toEqual([one]);
      expect(unreadable.map(({ file, error }) => [file, error.code])).toEqual(
        paths.map(({ file }) => [file, 'unreadable-file']),
      );
    },
  );

  it('are not measured again when they are remembered', async () => {
    const remembered: string[] = [];
    const outcome = { outcome: 'set-aside', file: one, kind: 'dark' } as const satisfies FrameOutcome;
    const memory = {
      recall: (job: { file: string }) => (job.file === one ? outcome : null),
      remember: (job: { file: string }) => void remembered.push(job.file),
    };
    const { frames, setAside } = await assessFrames(found(one, two), { ...inline, memory });
    expect(setAside).toEqual([{ file: one, kind: 'dark' }]);
    expect(frames.map((frame) => frame.file)).toEqual([two]);
    expect(remembered).toEqual([two]);
  });

  it('end with the reason of the signal when stopped', async () => {
    const stopped = AbortSignal.abort(new Error('enough'));
    await expect(assessFrames(found(one), { ...inline, signal: stopped })).rejects.toThrow('enough');
  });
});

describe('the number of threads', () => {
  it('is at least one and never more than the files', () => {
    expect(chooseThreadCount([])).toBe(1);
    expect(chooseThreadCount([join(sampleNight, one)])).toBe(1);
    expect(chooseThreadCount(['/no/such/file', '/nor/this'])).toBeLessThanOrEqual(2);
  });
});
