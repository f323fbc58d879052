/** What can be heard without looking: a phase to go on with, an alarm, the end. */
export type Sound = 'go on' | 'alarm' | 'done';

/** Strokes of the terminal's bell, ms from the first. Told apart by number and pace, whatever the bell sounds like. */
export const soundStrokes: Readonly<Record<Sound, readonly number[]>> = {
  'go on': [0],
  alarm: [0, 180, 360],
  done: [0, 700],
};

/** The more urgent of two; the other goes unheard. */
const urgency: readonly Sound[] = ['go on', 'done', 'alarm'];
export const louder = (a: Sound | null, b: Sound): Sound =>
  a !== null && urgency.indexOf(a) > urgency.indexOf(b) ? a : b;

/** Plays one sound at a time on a bell; a new one ends the one before. */
export class Sounds {
  readonly #stroke: () => void;
  #timers: NodeJS.Timeout[] = [];

  constructor(stroke: () => void) {
    this.#stroke = stroke;
  }

  play(sound: Sound): void {
    this.stop();
    const [, ...later] = soundStrokes[sound];
    this.#stroke();
    this.#timers = later.map((ms) => setTimeout(this.#stroke, ms).unref());
  }

  stop(): void {
    for (const timer of this.#timers) clearTimeout(timer);
    this.#timers = [];
  }
}
