import type { Language, WordChanges } from '../../certificate/index.js';
import type { UnitSystemName } from '../../units/index.js';

/** How a page is written: all that goes into it beside the record, and stands in it as data. */
export interface PageSetting {
  readonly language: Language;
  readonly units: UnitSystemName;
  /** What the shop words in its own way: the other texts are the program's, and stand in no page as data. */
  readonly words: WordChanges;
  /** A procedure of this id is shipped, so that one with other words is an edited copy of it. */
  readonly procedureIsTemplate: boolean;
  /** ISO 8601 with offset. */
  readonly writtenAt: string;
  /** Version of the program that wrote it. */
  readonly program: string;
}
