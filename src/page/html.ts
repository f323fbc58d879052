/** A piece of HTML. Only {@link html} makes one, so that stored text can never become markup. */
export class Html {
  readonly text: string;

  constructor(text: string) {
    this.text = text;
  }
}

export type HtmlValue = Html | string | number | null | false | readonly HtmlValue[];

/**
 * HTML from a template: whatever is filled in is text, save other HTML made here. Nothing for null and false.
 * @example html`<b>${'<i>'}</b>`.text // '<b>&lt;i&gt;</b>'
 */
export const html = (parts: TemplateStringsArray, ...values: readonly HtmlValue[]): Html =>
  new Html(parts.reduce((text, part, index) => text + markup(values[index - 1] ?? null) + part));

function markup(value: HtmlValue): string {
  if (value === null || value === false) return '';
  if (value instanceof Html) return value.text;
  if (typeof value === 'string') return escaped(value);
  return typeof value === 'number' ? String(value) : value.map(markup).join('');
}

const entities: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
};

// biome-ignore lint/suspicious/noControlCharactersInRegex: these are the characters that must not reach the page
const unseen = /[\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f-\u009f\u202a-\u202e\u2066-\u2069]/g;

/** Text for an element or an attribute in double quotes; a sign that steers instead of showing is named, `[U+202E]`. */
export const escaped = (text: string): string =>
  text
    .replace(/[&<>"']/g, (sign) => entities[sign] ?? sign)
    .replace(unseen, (sign) => `[U+${sign.charCodeAt(0).toString(16).toUpperCase().padStart(4, '0')}]`);

/** A value as JSON inside a script element: no sign in it can end the element. */
export const jsonInScript = (value: unknown): Html =>
  new Html(
    JSON.stringify(value)
      .replace(/</g, '\\u003c')
      .replace(/\u2028/g, '\\u2028')
      .replace(/\u2029/g, '\\u2029'),
  );
