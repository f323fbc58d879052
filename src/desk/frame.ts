import { type Html, type HtmlValue, html } from '../page/index.js';
import type { Desk } from './desk.js';

const rooms = [
  ['/', 'Waiting'],
  ['/tests', 'Tests'],
  ['/jobs/new', 'New job'],
  ['/gauges', 'Gauges'],
  ['/recall', 'Recall'],
  ['/live', 'Live'],
  ['/help', 'Help'],
] as const;

/** What a page tells at its top: something done, or why it was not. */
export interface Told {
  readonly good: boolean;
  readonly text: string;
}

/** A page of the desk: the rooms on top, then its content under one heading. */
export const frame = (
  { shop }: Desk,
  at: string,
  title: string,
  { told, wide, script }: { readonly told?: Told | null; readonly wide?: boolean; readonly script?: string },
  ...content: readonly HtmlValue[]
): Html => html`<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1"><meta name="color-scheme" content="light dark"><title>${title} – ${shop.name}</title><link rel="icon" href="data:,"><link rel="stylesheet" href="/desk.css">${script === undefined ? null : html`<script src="${script}" defer></script>`}</head>
<body><a class="skip" href="#main">Skip to the content</a>
<header class="bar"><p class="shop"><strong>${shop.name}</strong> <span>${shop.bench}</span></p>
<nav aria-label="Rooms"><ul>${rooms.map(
  ([path, name]) => html`<li><a href="${path}"${path === at ? html` aria-current="page"` : null}>${name}</a></li>`,
)}</ul></nav></header>
<main id="main" class="${wide ? 'wide-room' : 'room'}"><h1>${title}</h1>
${told ? html`<p class="told ${told.good ? 'good' : 'bad'}" role="status">${told.text}</p>` : null}
${content}</main></body></html>
`;
