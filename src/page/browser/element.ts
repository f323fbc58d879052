/** An element with its text; text is never markup. */
export function element<Tag extends keyof HTMLElementTagNameMap>(
  tag: Tag,
  attributes: Readonly<Record<string, string>> = {},
  ...content: readonly (Node | string)[]
): HTMLElementTagNameMap[Tag] {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) made.setAttribute(name, value);
  made.append(...content);
  return made;
}

/** The element of an id. @throws Error when the page has none: it was not written by this program. */
export function found(id: string): HTMLElement {
  const element = document.getElementById(id);
  if (!element) throw new Error(`the page has no "${id}"`);
  return element;
}
