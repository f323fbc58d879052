import { describe, expect, it } from 'vitest';
import { jsonInScript } from '../../src/page/html.js';
import { html } from '../../src/page/index.js';

describe('html', () => {
  it('shows what is filled in as text', () => {
    expect(html`<b title="${'" onclick="x'}">${'<script>&'}</b>`.text).toBe(
      '<b title="&quot; onclick=&quot;x">&lt;script&gt;&amp;</b>',
    );
  });

  it('takes other HTML and lists of it as they are, and nothing for null and false', () => {
    expect(html`<ul>${['a', '<'].map((one) => html`<li>${one}</li>`)}${null}${false}${0}</ul>`.text).toBe(
      '<ul><li>a</li><li>&lt;</li>0</ul>',
    );
  });

  it('names a sign that steers instead of showing', () => {
    expect(html`${'a\u202eb\u0000c\u001b'}`.text).toBe('a[U+202E]b[U+0000]c[U+001B]');
  });

  it('no value ends the script element it stands in', () => {
    const text = jsonInScript({ a: '</script><!--' }).text;
    expect(text).not.toContain('<');
    expect(JSON.parse(text)).toEqual({ a: '</script><!--' });
  });
});
