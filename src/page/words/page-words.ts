import { german } from './de.js';
import { english, type PageWord } from './en.js';

/** A text of the page with its `{name}`s filled in. */
export type SayPage = (key: PageWord, values?: Readonly<Record<string, string | number>>) => string;

/** The page's own words; English where a language has none. */
export function pageWords(language: string): SayPage {
  const texts: Readonly<Record<PageWord, string>> = language === 'de' ? german : english;
  return (key, values = {}) => filledIn(texts[key], values);
}

/** Puts values in the place of their `{name}`s. */
export const filledIn = (text: string, values: Readonly<Record<string, string | number>>): string =>
  text.replace(/\{(\w+)\}/g, (whole, name: string) => (Object.hasOwn(values, name) ? String(values[name]) : whole));
