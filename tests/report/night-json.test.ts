import { expect, it } from 'vitest';
import { nightJson } from '../../src/report/night-json.js';
import { syntheticNight } from './synthetic-night.js';

const night = syntheticNight({ frames: 12, filters: ['L', 'Ha'] });

it('nightJson follows the contract', () => {
  const json = JSON.parse(JSON.stringify(nightJson(night))) as Record<string, never> & {
    frames: { file: string }[];
    night: { causes: Record<string, unknown>[]; notFound: Record<string, unknown>[]; whatIf: unknown[] };
  };
  expect(json).toMatchObject({ schema: 'starassay/night@1', version: night.version });
  expect(Object.keys(json).sort()).toEqual([
    'frames',
    'groups',
    'limits',
    'night',
    'optics',
    'schema',
    'setAside',
    'unreadable',
    'version',
    'warnings',
  ]);
  expect(json.frames.map((frame) => frame.file)).toEqual(night.frames.map((frame) => frame.file));
  expect(json.night).toMatchObject({ summary: { frames: 12 } });
  expect(json.night.whatIf).toHaveLength(night.night.whatIf.length);
  for (const cause of json.night.causes) {
    expect(cause).toMatchObject({
      code: expect.any(String) as string,
      confidence: expect.any(Number) as number,
      frames: expect.any(Array) as unknown[],
      evidence: expect.any(Array) as unknown[],
      advice: expect.any(String) as string,
    });
  }
});

it('nightJson lists as causes only what was found, most certain first, and says of the others why not', () => {
  const finding = (code: 'cloud' | 'dew' | 'seeing', answer: 'found' | 'clear', confidence: number) => ({
    ...night.night.causes[0]!,
    code,
    title: code,
    answer,
    confidence,
    frames: [],
    evidence: [],
    advice: '',
    why: answer === 'found' ? '' : 'nothing lost',
  });
  const causes = [
    finding('cloud', 'found', 0.6),
    finding('dew', 'clear', 0),
    finding('seeing', 'found', 0.9),
  ];
  const json = nightJson({ ...night, night: { ...night.night, causes } }) as {
    night: { causes: { code: string }[]; notFound: object[] };
  };
  expect(json.night.causes.map((cause) => cause.code)).toEqual(['seeing', 'cloud']);
  expect(json.night.notFound).toEqual([{ code: 'dew', title: 'dew', answer: 'clear', why: 'nothing lost' }]);
});
