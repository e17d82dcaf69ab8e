import { mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { run, sampleNight } from './run-command.js';

let folder: string;
beforeAll(() => (folder = mkdtempSync(join(tmpdir(), 'corners-'))));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const subs = readdirSync(sampleNight)
  .filter((name) => name.endsWith('.fits'))
  .slice(0, 3)
  .map((name) => join(sampleNight, name));

describe('starassay corners', () => {
  it('tells the corners of a frame and draws them, and draws over its own picture', async () => {
    const picture = join(folder, 'corners.webp');
    for (let again = 0; again < 2; again++) {
      const { code, out, err } = run(['corners', subs[0]!, '--picture', picture], { home: folder });
      expect(err).toContain('picture written');
      expect(code).toBe(0);
      expect(out).toMatch(/top-left: [\d.]+″.*top-right/);
    }
    expect((await sharp(picture).metadata()).width).toBe(1600);
  });

  it('answers in JSON', () => {
    const { out } = run(['corners', ...subs, '--json'], { home: folder });
    const document = JSON.parse(out);
    expect(document.schema).toBe('starassay/corners@1');
    expect(document.groups[0].field.corners).toHaveLength(4);
  });

  it('draws before and after, and a contact sheet', async () => {
    const [pair, sheet] = [join(folder, 'pair.webp'), join(folder, 'sheet.webp')];
    const { code } = run(['corners', subs[0]!, '--before', subs[1]!, '--picture', pair, '--sheet', sheet], {
      home: folder,
    });
    expect(code).toBe(0);
    expect((await sharp(pair).metadata()).height).toBeGreaterThan(1200);
    expect((await sharp(sheet).metadata()).format).toBe('webp');
  });

  it('refuses a picture of another kind before it measures, and one to compare without one to draw', () => {
    expect(run(['corners', subs[0]!, '--picture', 'a.jpg']).code).toBe(2);
    expect(run(['corners', subs[0]!, '--before', subs[1]!]).code).toBe(2);
  });
});
