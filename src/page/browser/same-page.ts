/** The page as it came, before anything was done to it. */
export const asDelivered = (): Document => document.cloneNode(true) as Document;

/**
 * Where a page differs from what it should be: the ids of the sections, or what part of it; nothing when it is the
 * same in every node and attribute.
 * @param delivered the page as far as its own script
 * @param written what it should be, as text
 */
export function differences(delivered: Document, written: string): string[] {
  const should = new DOMParser().parseFromString(written, 'text/html');
  if (delivered.documentElement.isEqualNode(should.documentElement)) return [];
  const parts = (of: Document): Map<string, Element> =>
    new Map([...of.querySelectorAll('[id], head, header, nav, footer')].map((one) => [nameOf(one), one]));
  const [there, wanted] = [parts(delivered), parts(should)];
  const names = new Set([...there.keys(), ...wanted.keys()]);
  const different = [...names].filter((name) => {
    const [one, other] = [there.get(name), wanted.get(name)];
    return !one || !other || !one.isEqualNode(other);
  });
  return different.length > 0 ? different : ['page'];
}

const nameOf = (element: Element): string => element.id || element.tagName.toLowerCase();
