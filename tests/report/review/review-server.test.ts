import { request } from 'node:http';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { NightAssessment } from '../../../src/causes/types.js';
import { makeStarAtlas } from '../../../src/field/star-atlas.js';
import { groupAtlases } from '../../../src/report/pictures/group-atlases.js';
import { serveReview, type ReviewServer } from '../../../src/report/review/review-server.js';
import { drawStars } from '../../field/drawn-stars.js';
import { syntheticNight } from '../synthetic-night.js';

interface Answer {
  readonly status: number;
  readonly headers: Record<string, string | string[] | undefined>;
  readonly text: string;
}

let server: ReviewServer;
let night: NightAssessment;
let decided: [string, string | null][];

beforeEach(async () => {
  night = syntheticNight({ frames: 5 });
  decided = [];
  server = await serveReview(
    {
      night: () => night,
      decide: (file, decision) => {
        decided.push([file, decision]);
        const frames = night.frames.map((frame) =>
          frame.file === file
            ? {
                ...frame,
                decision: decision ?? 'keep',
                reasons: decision
                  ? [{ code: 'overruled' as const, message: '', value: null, limit: null }]
                  : [],
              }
            : frame,
        );
        night = { ...night, frames };
        return night;
      },
    },
    { pictures: false },
  );
});
afterEach(() => server.close());

function ask(
  path: string,
  options: { method?: string; headers?: Record<string, string>; body?: string } = {},
): Promise<Answer> {
  const { port, host } = new URL(server.url);
  return new Promise((resolve, reject) => {
    const asked = request(
      {
        host: '127.0.0.1',
        port,
        path,
        method: options.method ?? 'GET',
        headers: { host, ...options.headers },
      },
      (response) => {
        let text = '';
        response.on('data', (chunk: Buffer) => (text += chunk.toString()));
        response.on('end', () => resolve({ status: response.statusCode!, headers: response.headers, text }));
      },
    );
    asked.on('error', reject);
    asked.end(options.body);
  });
}

/** Open the printed address as a browser does, and give back the cookie. */
async function enter(): Promise<string> {
  const { pathname, search } = new URL(server.url);
  const opened = await ask(pathname + search);
  expect(opened.status).toBe(303);
  return String(opened.headers['set-cookie']).split(';')[0]!;
}

const origin = () => new URL(server.url).origin;
const decision = (cookie: string, body: unknown, headers: Record<string, string> = {}) =>
  ask('/decision', {
    method: 'POST',
    headers: { cookie, origin: origin(), 'content-type': 'application/json', ...headers },
    body: typeof body === 'string' ? body : JSON.stringify(body),
  });

describe('the review server', () => {
  it('listens on the loopback address, and gives the page to the browser that has the token', async () => {
    expect(server.url).toMatch(/^http:\/\/127\.0\.0\.1:\d+\/\?token=[\w-]{32}$/);
    const page = await ask('/', { headers: { cookie: await enter() } });
    expect(page.status).toBe(200);
    expect(page.text).toContain('Your decision');
    expect(page.headers).toMatchObject({
      'cache-control': 'no-store',
      'x-frame-options': 'DENY',
      'x-content-type-options': 'nosniff',
    });
  });

  it('shows the mean stars of the whole group, of the subs kept at that moment', async () => {
    const stars = drawStars({ width: 600, height: 400, count: 60, shape: () => ({ xx: 2, xy: 0, yy: 2 }) });
    const { atlas, png } = await makeStarAtlas(stars.plane, stars.background, stars.table);
    night = syntheticNight({
      frames: 3,
      pictures: () => ({ preview: null, atlas: png, meanStars: atlas }),
    });
    await server.close();
    server = await serveReview({ night: () => night, decide: () => night }, { pictures: true });
    const page = await ask('/', { headers: { cookie: await enter() } });
    const [picture] = (await groupAtlases(night)).values();
    expect(page.text).toContain(Buffer.from(picture!).toString('base64'));
  });

  it('takes the token once, and hides the cookie from scripts', async () => {
    const { pathname, search } = new URL(server.url);
    const first = await ask(pathname + search);
    expect(String(first.headers['set-cookie'])).toMatch(/HttpOnly; SameSite=Strict/);
    const second = await ask(pathname + search);
    expect(second.status).toBe(403);
    expect(second.headers['content-type']).toMatch(/^text\/html/);
    expect(second.text).toContain('<code>starassay review</code> again');
    const cookie = String(first.headers['set-cookie']).split(';')[0]!;
    expect((await ask(pathname + search, { headers: { cookie } })).status).toBe(303);
  });

  it('shows nothing without token or cookie, or with wrong ones', async () => {
    expect((await ask('/')).status).toBe(403);
    expect((await ask('/?token=')).status).toBe(403);
    expect((await ask('/?token=wrong')).status).toBe(403);
    expect((await ask('/', { headers: { cookie: 'starassay-review=wrong' } })).status).toBe(403);
  });

  it('answers to its own name only, so that another site cannot borrow it', async () => {
    const cookie = await enter();
    for (const host of [
      'evil.example',
      'evil.example:80',
      '127.0.0.1',
      `127.0.0.1.evil.example:${new URL(server.url).port}`,
    ]) {
      expect((await ask('/', { headers: { host, cookie } })).status).toBe(403);
    }
  });

  it('takes a decision from the page itself and tells what came of it', async () => {
    const cookie = await enter();
    const answer = await decision(cookie, { frame: 2, decision: 'reject' });
    expect(answer.status).toBe(200);
    expect(JSON.parse(answer.text)).toMatchObject({
      words: expect.stringMatching(/^Rejected by you\. Keep 4 of 5 subs/),
      changed: { t2: expect.stringContaining('rejected by you'), 'verdict-now': expect.any(String) },
    });
    expect(decided).toEqual([[night.frames[2]!.file, 'reject']]);
    expect(JSON.parse((await decision(cookie, { frame: 2, decision: null })).text).words).toMatch(
      /^As measured: keep\. Keep/,
    );
  });

  it('refuses a decision from elsewhere', async () => {
    const cookie = await enter();
    const wish = { frame: 0, decision: 'reject' };
    expect((await decision(cookie, wish, { origin: 'http://evil.example' })).status).toBe(403);
    expect((await decision(cookie, wish, { origin: 'null' })).status).toBe(403);
    expect((await decision(cookie, wish, { 'sec-fetch-site': 'cross-site' })).status).toBe(403);
    expect((await decision('', wish)).status).toBe(403);
    expect((await decision(cookie, wish, { 'content-type': 'text/plain' })).status).toBe(415);
    expect(decided).toEqual([]);
  });

  it.each([
    '{',
    'null',
    '{"frame":-1,"decision":"keep"}',
    '{"frame":99,"decision":"keep"}',
    '{"frame":0.5,"decision":"keep"}',
    '{"frame":"0","decision":"keep"}',
    '{"frame":0,"decision":"delete"}',
    '{"frame":0}',
  ])('refuses %s as no decision', async (body) => {
    expect((await decision(await enter(), body)).status).toBe(400);
    expect(decided).toEqual([]);
  });

  it('refuses a body that is too long, other methods and every other path', async () => {
    const cookie = await enter();
    expect((await decision(cookie, 'x'.repeat(10_000))).status).toBe(413);
    expect((await ask('/decision', { headers: { cookie } })).status).toBe(404);
    for (const path of ['/../../etc/passwd', '/%2e%2e/%2e%2e/etc/passwd', '/night.fits', '//evil.example/']) {
      expect((await ask(path, { headers: { cookie } })).status).toBe(404);
    }
  });

  it('says so when a decision could not be kept', async () => {
    await server.close();
    server = await serveReview(
      {
        night: () => night,
        decide: () => {
          throw new Error('disk full');
        },
      },
      { pictures: false },
    );
    const answer = await decision(await enter(), { frame: 0, decision: 'keep' });
    expect(answer.status).toBe(500);
    expect(answer.text).toContain('disk full');
  });
});
