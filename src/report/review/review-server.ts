import { randomBytes, timingSafeEqual } from 'node:crypto';
import { createServer, type IncomingMessage, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import type { NightAssessment } from '../../causes/types.js';
import { toErrorRecord } from '../../errors.js';
import { headlineOf } from '../panels/verdict.js';
import { groupAtlases } from '../pictures/group-atlases.js';
import { viewNight, type PageOptions } from '../view.js';
import { changedFragments, reviewFragments } from './review-fragments.js';
import { refusalPage, reviewPage } from './review-page.js';

/** What the server needs of the night. */
export interface ReviewSource {
  /** The night as it stands. */
  readonly night: () => NightAssessment;
  /** Keep a person's decision over a frame, by its name in the night (null: back to what was measured); gives the night anew. */
  readonly decide: (
    file: string,
    decision: 'keep' | 'reject' | null,
  ) => NightAssessment | Promise<NightAssessment>;
}

/** A running server. */
export interface ReviewServer {
  /** Address with the token that opens it once. */
  readonly url: string;
  readonly close: () => Promise<void>;
}

const MAX_BODY_BYTES = 4096;
const COOKIE = 'starassay-review';

/**
 * Serve the review page on the loopback address only, at a port of the system's choice.
 *
 * The token in the address works once and is exchanged for a cookie of this browser; every request must name this host, and a
 * decision must come from the page itself (Origin), so that neither another machine nor another page can look or decide.
 */
export async function serveReview(
  source: ReviewSource,
  options: PageOptions & { readonly port?: number },
): Promise<ReviewServer> {
  const keys: Keys = { token: secret(), session: secret(), port: 0 };
  const server = createServer((request, response) => {
    answer(request, response, source, options, keys).catch((error: unknown) => {
      send(response, 500, { error: toErrorRecord(error).message });
    });
  });
  server.requestTimeout = 10_000;
  await new Promise<void>((resolve, reject) => {
    server.once('error', reject);
    server.listen(options.port ?? 0, '127.0.0.1', resolve);
  });
  keys.port = (server.address() as AddressInfo).port;
  return {
    url: `http://127.0.0.1:${keys.port}/?token=${keys.token}`,
    close: () =>
      new Promise((resolve) => {
        server.close(() => resolve());
        server.closeAllConnections();
      }),
  };
}

interface Keys {
  /** Emptied when used. */
  token: string;
  readonly session: string;
  port: number;
}

function secret(): string {
  return randomBytes(24).toString('base64url');
}

async function answer(
  request: IncomingMessage,
  response: ServerResponse,
  source: ReviewSource,
  options: PageOptions,
  keys: Keys,
): Promise<void> {
  if (!isOurHost(request.headers.host, keys.port))
    return send(response, 403, { error: 'this address is not served here' });
  const url = new URL(request.url ?? '/', `http://127.0.0.1:${keys.port}`);
  // An address that names another host (`//elsewhere/`) is nothing of ours.
  if (url.port !== String(keys.port) || url.hostname !== '127.0.0.1')
    return send(response, 404, { error: 'there is nothing here' });
  const token = url.searchParams.get('token');
  const isKnown = same(cookieOf(request), keys.session);
  if (request.method === 'GET' && url.pathname === '/' && token !== null)
    return isKnown ? enter(response, keys) : open(response, token, keys);
  if (!isKnown) {
    if (request.method === 'GET' && url.pathname === '/')
      return sendRefusal(response, 'This page opens by the address that the command printed, and only once.');
    return send(response, 403, { error: 'open the address that the command printed; it works once' });
  }
  if (url.pathname === '/' && request.method === 'GET') return sendPage(response, source.night(), options);
  if (url.pathname === '/decision' && request.method === 'POST')
    return decide(request, response, source, keys);
  return send(response, 404, { error: 'there is nothing here' });
}

/** Exchange the token for the cookie, and take it out of the address so that history does not keep it. */
function open(response: ServerResponse, token: string, keys: Keys): void {
  if (!same(token, keys.token))
    return sendRefusal(response, 'This address was used already, or is not the one that was printed.');
  keys.token = '';
  enter(response, keys);
}

/** Also the second visit of a browser that has the cookie. */
function enter(response: ServerResponse, keys: Keys): void {
  response.writeHead(303, {
    ...SAFE_HEADERS,
    location: '/',
    'set-cookie': `${COOKIE}=${keys.session}; Path=/; HttpOnly; SameSite=Strict`,
  });
  response.end();
}

async function decide(
  request: IncomingMessage,
  response: ServerResponse,
  source: ReviewSource,
  keys: Keys,
): Promise<void> {
  const site = request.headers['sec-fetch-site'];
  const origin = request.headers.origin ?? '';
  if (
    !isOurHost(origin.replace(/^http:\/\//, ''), keys.port) ||
    !origin.startsWith('http://') ||
    (site !== undefined && site !== 'same-origin')
  ) {
    return send(response, 403, { error: 'a decision must come from the page itself' });
  }
  if (!/^application\/json\b/.test(request.headers['content-type'] ?? ''))
    return send(response, 415, { error: 'send JSON' });
  const body = await bodyOf(request);
  if (body === null) return send(response, 413, { error: 'that is too long for a decision' });
  const wish = parseWish(body);
  const was = source.night();
  const frames = viewNight(was, { pictures: false }).frames;
  const frame = wish === null ? undefined : frames[wish.frame];
  if (wish === null || frame === undefined)
    return send(response, 400, { error: 'that is no decision over a sub of this night' });
  const { file } = frame.frame;
  const before = reviewFragments(was);
  const night = await source.decide(file, wish.decision);
  const now = night.frames.find((entry) => entry.file === file)!;
  const overruled = now.reasons.some((reason) => reason.code === 'overruled');
  const words = overruled
    ? `${now.decision === 'keep' ? 'Kept' : 'Rejected'} by you.`
    : `As measured: ${now.decision}.`;
  send(response, 200, {
    words: `${words} ${headlineOf(night)}`,
    changed: changedFragments(before, reviewFragments(night)),
  });
}

function parseWish(body: string): { frame: number; decision: 'keep' | 'reject' | null } | null {
  let wish: unknown;
  try {
    wish = JSON.parse(body);
  } catch {
    return null;
  }
  if (typeof wish !== 'object' || wish === null) return null;
  const { frame, decision } = wish as Record<string, unknown>;
  if (typeof frame !== 'number' || !Number.isInteger(frame) || frame < 0) return null;
  return decision === 'keep' || decision === 'reject' || decision === null ? { frame, decision } : null;
}

async function bodyOf(request: IncomingMessage): Promise<string | null> {
  const chunks: Buffer[] = [];
  let length = 0;
  for await (const chunk of request as AsyncIterable<Buffer>) {
    length += chunk.length;
    if (length > MAX_BODY_BYTES) return null;
    chunks.push(chunk);
  }
  return Buffer.concat(chunks).toString('utf8');
}

function isOurHost(host: string | undefined, port: number): boolean {
  return host === `127.0.0.1:${port}` || host === `localhost:${port}`;
}

function cookieOf(request: IncomingMessage): string {
  const cookies = (request.headers.cookie ?? '').split(';').map((cookie) => cookie.trim().split('='));
  return cookies.find(([name]) => name === COOKIE)?.[1] ?? '';
}

/** Equal, compared in constant time; an empty key equals nothing. */
function same(given: string, key: string): boolean {
  const [a, b] = [Buffer.from(given), Buffer.from(key)];
  return key !== '' && a.length === b.length && timingSafeEqual(a, b);
}

const SAFE_HEADERS = {
  'cache-control': 'no-store',
  'x-content-type-options': 'nosniff',
  'referrer-policy': 'no-referrer',
  'cross-origin-resource-policy': 'same-origin',
  'cross-origin-opener-policy': 'same-origin',
  'x-frame-options': 'DENY',
} as const;

function send(response: ServerResponse, status: number, content: Readonly<Record<string, unknown>>): void {
  if (response.headersSent) return;
  response.writeHead(status, { ...SAFE_HEADERS, 'content-type': 'application/json; charset=utf-8' });
  response.end(JSON.stringify(content));
}

/** A person who comes without the key gets words and the way in, not a record. */
function sendRefusal(response: ServerResponse, why: string): void {
  response.writeHead(403, {
    ...SAFE_HEADERS,
    'content-type': 'text/html; charset=utf-8',
    'content-security-policy': "default-src 'none'; frame-ancestors 'none'",
  });
  response.end(refusalPage(why));
}

async function sendPage(
  response: ServerResponse,
  night: NightAssessment,
  options: PageOptions,
): Promise<void> {
  const page = reviewPage(night, { ...options, groupAtlases: await groupAtlases(night) });
  // The page's own meta policy holds for its content; framing can only be forbidden here.
  response.writeHead(200, {
    ...SAFE_HEADERS,
    'content-type': 'text/html; charset=utf-8',
    'content-security-policy': "frame-ancestors 'none'",
  });
  response.end(page);
}
