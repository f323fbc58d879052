/** The page as it came, before anything was done to it, as text. */
export const asDelivered = (): string => document.documentElement.outerHTML;

/**
 * Where a page differs from what it should be: the ids of the sections, or what part of it; nothing when it is the
 * same in every node and attribute.
 * @param delivered the page as far as its own script
 * @param written what it should be, as text
 */
export function differences(delivered: string, written: string): string[] {
  const should = parsed(written);
  if (should.documentElement.outerHTML === delivered) return [];
  const [there, wanted] = [partsOf(parsed(delivered)), partsOf(should)];
  const different = [...new Set([...there.keys(), ...wanted.keys()])].filter(
    (name) => there.get(name) !== wanted.get(name),
  );
  return different.length > 0 ? different : ['page'];
}

const parsed = (text: string): Document => new DOMParser().parseFromString(text, 'text/html');

const partsOf = (page: Document): Map<string, string> =>
  new Map(
    [...page.querySelectorAll('section[id], script[id], head, header, nav, footer')].map((part) => [
      part.id || part.tagName.toLowerCase(),
      part.outerHTML,
    ]),
  );
