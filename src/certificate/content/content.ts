import type { Verdict } from '../../evaluation/index.js';
import type { TraceStory } from '../chart/trace-story.js';
import type { Language } from '../input.js';

/** What a certificate says, in full and in order, in the reader's language and units. Pages only place it. */
export interface CertificateContent {
  readonly language: Language;
  readonly paper: 'A4' | 'Letter';
  readonly accent: string | null;
  readonly logo: Uint8Array | null;
  readonly number: string;
  readonly title: string;
  /** Number, issue date, reissue or void: the lines under the title. */
  readonly underTitle: readonly string[];
  readonly shop: { readonly name: string; readonly address: string };
  readonly groups: readonly FactGroup[];
  /** The instruments, where there are several; null where the one gauge stands with the method. */
  readonly gauges: FactGroup | null;
  readonly verdict: VerdictText;
  readonly results: ResultTable;
  readonly resultNotes: readonly string[];
  readonly ports: readonly FactGroup[];
  readonly remarks: { readonly title: string; readonly lines: readonly string[] };
  readonly signatures: { readonly title: string; readonly lines: readonly SignatureText[]; readonly none: string };
  readonly record: string;
  readonly statements: readonly string[];
  /** DRAFT or VOID, set across every page. */
  readonly acrossEveryPage: string | null;
  /** Printed on every page, e.g. that the gauge was simulated. */
  readonly everyPage: readonly string[];
  /** With `{page}` and `{pages}` still to be filled in. */
  readonly pageOf: string;
  readonly endMark: string;
  /** What the QR code holds: number and record hash, in signs that make a coarse code. */
  readonly code: string;
  readonly chart: { readonly title: string; readonly alt: string; readonly story: TraceStory };
  readonly metadata: {
    readonly title: string;
    readonly subject: string;
    readonly author: string;
    readonly keywords: string;
    readonly createdAt: string;
  };
  readonly attachments: readonly Attachment[];
}

export interface Fact {
  readonly label: string;
  readonly value: string;
}

export interface FactGroup {
  readonly title: string;
  readonly facts: readonly Fact[];
}

export interface VerdictText {
  /** What the box says: of a void paper nothing but that it is void. */
  readonly verdict: Verdict | 'void';
  readonly word: string;
  readonly sentence: string;
  readonly lines: readonly string[];
}

/** Quantities down, stages of the ports across. */
export interface ResultTable {
  readonly title: string;
  readonly columns: readonly ResultColumn[];
  readonly rows: readonly ResultRow[];
  /** The unit of the second figures, or null. */
  readonly secondUnit: string | null;
}

export interface ResultColumn {
  readonly port: string;
  readonly stage: string;
  readonly verdict: Verdict;
}

export interface ResultRow {
  readonly label: string;
  readonly unit: string;
  /** Set in bold: the figures that decide. */
  readonly strong: boolean;
  readonly cells: readonly ResultCell[];
}

/** A figure (aligned on its decimal sign), or a word in its place. */
export type ResultCell =
  | { readonly kind: 'figure'; readonly figure: string; readonly plusMinus: string; readonly second: string }
  | { readonly kind: 'word'; readonly word: string };

export interface SignatureText {
  readonly meaning: string;
  readonly name: string;
  readonly standing: string;
  readonly signedAt: string;
  readonly key: string;
  readonly remark: string;
}

export interface Attachment {
  readonly name: string;
  readonly type: string;
  readonly description: string;
  readonly relationship: 'Source' | 'Data' | 'Supplement';
  readonly text: string;
}
