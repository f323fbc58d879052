import { timingSafeEqual } from 'node:crypto';
import type { Context, MiddlewareHandler } from 'hono';
import { getCookie, setCookie } from 'hono/cookie';
import type { Desk } from './desk.js';

const cookie = 'dwellmark-desk';

/** Nothing from outside, nothing inline, in nobody's frame but its own. */
const policy = [
  "default-src 'none'",
  "script-src 'self'",
  "style-src 'self'",
  "img-src 'self' data:",
  "connect-src 'self'",
  "frame-src 'self'",
  "form-action 'self'",
  "frame-ancestors 'self'",
  "base-uri 'none'",
].join('; ');

/**
 * Who may come in: only under the desk's own host, only with its token or the cookie it gave, and a form only from a
 * page of its own. Everything else is turned away before a page is made.
 */
export function guard(desk: Desk): MiddlewareHandler {
  return async (context, next) => {
    const { req } = context;
    if (!desk.hosts.has(req.header('host') ?? '')) return turnedAway(context, 421, 'This desk has another address.');
    const origin = req.header('origin');
    const site = req.header('sec-fetch-site');
    if (origin !== undefined && !ownOrigin(desk, origin)) return turnedAway(context, 403, 'This came from elsewhere.');
    if (req.method !== 'GET' && (origin === undefined || (site !== undefined && site !== 'same-origin')))
      return turnedAway(context, 403, 'This came from elsewhere.');
    if (req.method !== 'GET' && req.method !== 'POST') return turnedAway(context, 405, 'That is not asked here.');
    const given = req.query('token');
    if (given !== undefined) return enter(context, desk, given);
    if (!same(getCookie(context, cookie) ?? '', desk.session))
      return turnedAway(context, 401, 'Open the desk by the address that the terminal shows.');
    await next();
    if (!context.res.headers.has('content-security-policy')) context.header('content-security-policy', policy);
    context.header('cache-control', 'no-store');
    context.header('referrer-policy', 'same-origin');
    context.header('x-content-type-options', 'nosniff');
    context.header('cross-origin-opener-policy', 'same-origin');
    context.header('cross-origin-resource-policy', 'same-origin');
    return undefined;
  };
}

/** The token becomes a cookie, and leaves the address. */
function enter(context: Context, desk: Desk, given: string): Response {
  if (!same(given, desk.token)) return turnedAway(context, 401, 'That token is not the one of this desk.');
  setCookie(context, cookie, desk.session, { httpOnly: true, sameSite: 'Strict', path: '/' });
  return context.redirect(context.req.path);
}

const ownOrigin = (desk: Desk, origin: string): boolean =>
  URL.canParse(origin) && new URL(origin).protocol === 'http:' && desk.hosts.has(new URL(origin).host);

function same(given: string, wanted: string): boolean {
  const [a, b] = [Buffer.from(given), Buffer.from(wanted)];
  return a.length === b.length && timingSafeEqual(a, b);
}

function turnedAway(context: Context, status: 401 | 403 | 405 | 421, why: string): Response {
  context.header('cache-control', 'no-store');
  return context.text(`${why}\n`, status);
}
