import { createHash } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import { nightPage } from '../../../src/report/page/night-page.js';
import { panels } from '../../../src/report/panels/index.js';
import { syntheticNight } from '../synthetic-night.js';

const draw = () => {
  const night = syntheticNight({ frames: 12, filters: ['R', 'B'] });
  const history = { rig: 'garden refractor', nights: 12, unusual: [], spacing: null };
  return nightPage({ ...night, night: { ...night.night, history } }, { pictures: true });
};
const page = draw();
const policy = /http-equiv="Content-Security-Policy"\s+content="([^"]*)"/
  .exec(page)![1]!
  .replaceAll('&#39;', "'");

describe('nightPage', () => {
  it('holds every panel in the order of the registry', () => {
    const places = panels.map((panel) => page.indexOf(`<section id="${panel.id}"`));
    expect(places.every((place) => place > 0)).toBe(true);
    expect([...places].sort((a, b) => a - b)).toEqual(places);
  });

  it('allows its own style and script by their hashes and nothing else', () => {
    expect(policy).toMatch(/^default-src 'none'; img-src data:; style-src 'sha256-/);
    expect(policy).not.toMatch(/unsafe|https?:|\*|connect-src/);
    for (const tag of ['style', 'script']) {
      const text = new RegExp(`<${tag}>([^]*?)</${tag}>`).exec(page)![1]!;
      expect(policy).toContain(createHash('sha256').update(text).digest('base64'));
    }
    expect(page).not.toMatch(/\sstyle="|\son\w+="/);
  });

  it('names nothing outside itself', () => {
    expect(page).not.toMatch(/(src|href)="(?!data:|#)/);
  });

  it('uses each id once, and links only to ids that are there', () => {
    const ids = [...page.matchAll(/\sid="([^"]*)"/g)].map((match) => match[1]!);
    expect(new Set(ids).size).toBe(ids.length);
    const known = new Set(ids);
    for (const [, target] of page.matchAll(/href="#([^"]*)"/g)) expect(known.has(target!), target).toBe(true);
  });

  it('opens with the palette asked for, else follows the system', () => {
    expect(page.replace(/\n/g, ' ')).toMatch(/id="palette-auto"[^>]*checked/);
    const night = nightPage(syntheticNight({ frames: 1 }), { pictures: false, palette: 'night' }).replace(
      /\n/g,
      ' ',
    );
    expect(night).toMatch(/id="palette-night"[^>]*checked/);
    expect(night).not.toMatch(/id="palette-auto"[^>]*checked/);
  });

  it('writes no NaN and no undefined', () => {
    const bare = page.replace(/<(script|style)>[^]*?<\/\1>/g, '');
    expect(bare).not.toMatch(/NaN|undefined|\[object/);
  });

  it('makes a page of a night without a single frame', () => {
    const night = syntheticNight({ frames: 1 });
    const summary = { ...night.night.summary, frames: 0, kept: 0, rejected: 0, text: [] };
    const empty = {
      ...night,
      frames: [],
      groups: [],
      optics: [],
      night: { summary, causes: [], whatIf: [] },
    };
    expect(nightPage(empty, { pictures: true })).toContain('No sub could be measured.');
  });

  it('is the same for the same record', () => {
    expect(draw()).toBe(page);
  });
});

describe('a night whose every text is hostile', () => {
  const attacks = [
    `"><script>alert(1)</script>`,
    `'><img src=x onerror=alert(1)>`,
    `</title></style></script><svg/onload=alert(1)>`,
    `\`\${alert(1)}\``,
    `javascript:alert(1)//../../etc/passwd`,
    `\u001b[31m\u009b2J\u202egnp.exe\u0000`,
    `=cmd|'/c calc'!A1`,
  ];

  it.each(attacks)('shows %j as text', (attack) => {
    const hostile = nightPage(syntheticNight({ frames: 40, filters: ['R', 'B'], text: attack }), {
      pictures: true,
    });
    const tame = nightPage(syntheticNight({ frames: 40, filters: ['R', 'B'], text: 'plain' }), {
      pictures: true,
    });
    const tags = (text: string) =>
      [...text.matchAll(/<\/?[a-z!][a-z0-9]*/gi)].map((match) => match[0]).join(' ');
    expect(tags(hostile)).toBe(tags(tame));
    expect(hostile).not.toMatch(/(?![\t\n\r])\p{Cc}|\u202e/u);
    expect(hostile).not.toMatch(/(src|href)="(?!data:|#)/);
  });
});
