import { colourOperands } from './colour-operands.js';
import type { ChartText, Matrix, TypeMeasure } from './vector-drawing.js';

interface PenState {
  matrix: Matrix;
  fillStyle: string;
  strokeStyle: string;
  lineWidth: number;
  dash: string;
  fontSize: number;
  textAlign: string;
  textBaseline: string;
  clipped: boolean;
}

/** What the page has been told last, so that it is not told again. */
interface Told {
  readonly stroke: string;
  readonly fill: string;
  readonly width: number;
  readonly dash: string;
}

const upright: Matrix = [1, 0, 0, 1, 0, 0];
/** The state that every PDF page starts with. */
const atFirst: Told = { stroke: '0 0 0 RG', fill: '0 0 0 rg', width: 1, dash: '[] 0 d' };

/**
 * The 2D drawing context that the chart library draws with, writing what it is told as operators of a PDF page
 * (ISO 32000-1, 8.5) and keeping texts apart, so that the page sets them in its own font. It offers what charts of
 * lines need and nothing else. Measures are points, y downwards.
 */
export class VectorPen {
  readonly canvas: { width: number; height: number };
  readonly texts: ChartText[] = [];
  readonly #type: TypeMeasure;
  readonly #operators: string[] = [];
  readonly #states: PenState[] = [];
  readonly #toldBeforeClip: Told[] = [];
  #told = atFirst;
  #path = '';
  #state: PenState = {
    matrix: upright,
    fillStyle: '#000000',
    strokeStyle: '#000000',
    lineWidth: 1,
    dash: '[] 0 d',
    fontSize: 10,
    textAlign: 'start',
    textBaseline: 'alphabetic',
    clipped: false,
  };

  constructor(canvas: { width: number; height: number }, type: TypeMeasure) {
    this.canvas = canvas;
    this.#type = type;
  }

  get operators(): string {
    return this.#operators.join('\n');
  }

  set fillStyle(colour: string) {
    this.#state.fillStyle = colour;
  }
  set strokeStyle(colour: string) {
    this.#state.strokeStyle = colour;
  }
  set lineWidth(points: number) {
    this.#state.lineWidth = points;
  }
  /** As in a style sheet; only the size counts, there is one font. */
  set font(text: string) {
    this.#state.fontSize = Number(/([\d.]+)px/.exec(text)?.[1] ?? this.#state.fontSize);
  }
  set textAlign(side: string) {
    this.#state.textAlign = side;
  }
  set textBaseline(line: string) {
    this.#state.textBaseline = line;
  }

  save(): void {
    this.#states.push(this.#state);
    this.#state = { ...this.#state, clipped: false };
  }

  restore(): void {
    if (this.#state.clipped) {
      this.#operators.push('Q');
      this.#told = this.#toldBeforeClip.pop() ?? this.#told;
    }
    this.#state = this.#states.pop() ?? this.#state;
  }

  translate(x: number, y: number): void {
    this.#transform([1, 0, 0, 1, x, y]);
  }

  /** @param angle radians, clockwise */
  rotate(angle: number): void {
    const [cos, sin] = [Math.cos(angle), Math.sin(angle)];
    this.#transform([cos, sin, -sin, cos, 0, 0]);
  }

  setTransform(...matrix: Matrix): void {
    this.#state.matrix = matrix;
  }

  resetTransform(): void {
    this.#state.matrix = upright;
  }

  setLineDash(lengths: readonly number[]): void {
    this.#state.dash = `[${lengths.map(figure).join(' ')}] 0 d`;
  }

  beginPath(): void {
    this.#path = '';
  }

  /** A point that is no number is passed over, as in any drawing context. */
  moveTo(x: number, y: number): void {
    if (Number.isFinite(x + y)) this.#path += `${this.#at(x, y)} m\n`;
  }

  lineTo(x: number, y: number): void {
    if (Number.isFinite(x + y)) this.#path += `${this.#at(x, y)} ${this.#path === '' ? 'm' : 'l'}\n`;
  }

  closePath(): void {
    if (this.#path !== '') this.#path += 'h\n';
  }

  rect(x: number, y: number, width: number, height: number): void {
    this.moveTo(x, y);
    this.lineTo(x + width, y);
    this.lineTo(x + width, y + height);
    this.lineTo(x, y + height);
    this.closePath();
  }

  clip(): void {
    this.#operators.push(`q\n${this.#path}W n`);
    this.#toldBeforeClip.push(this.#told);
    this.#state.clipped = true;
  }

  stroke(): void {
    const { strokeStyle, lineWidth, dash } = this.#state;
    const colour = colourOperands(strokeStyle);
    if (colour === null || this.#path === '' || lineWidth <= 0) return;
    this.#tell({ ...this.#told, stroke: `${colour} RG`, width: lineWidth, dash });
    this.#operators.push(`${this.#path}S`);
  }

  fill(): void {
    const colour = colourOperands(this.#state.fillStyle);
    if (colour === null || this.#path === '') return;
    this.#tell({ ...this.#told, fill: `${colour} rg` });
    this.#operators.push(`${this.#path}f`);
  }

  fillRect(x: number, y: number, width: number, height: number): void {
    this.beginPath();
    this.rect(x, y, width, height);
    this.fill();
    this.beginPath();
  }

  strokeRect(x: number, y: number, width: number, height: number): void {
    this.beginPath();
    this.rect(x, y, width, height);
    this.stroke();
    this.beginPath();
  }

  /** A page starts empty. */
  clearRect(): void {}

  /**
   * In whole parts of 64 of a point, rounded up: sums of such widths are exact, and a legend that just fits into its
   * line is not broken by the last bit of a sum.
   */
  measureText(text: string): { readonly width: number } {
    return { width: Math.ceil(this.#type.width(text, this.#state.fontSize) * 64) / 64 };
  }

  fillText(text: string, x: number, y: number): void {
    const { matrix, fillStyle, fontSize: size } = this.#state;
    if (text.trim() === '' || colourOperands(fillStyle) === null) return;
    this.texts.push({
      text,
      x: x - this.#beforeAnchor(text),
      y: y + this.#aboveAnchor(),
      size,
      colour: fillStyle,
      matrix,
    });
  }

  #beforeAnchor(text: string): number {
    const { textAlign, fontSize } = this.#state;
    if (textAlign === 'center') return this.#type.width(text, fontSize) / 2;
    return textAlign === 'right' || textAlign === 'end' ? this.#type.width(text, fontSize) : 0;
  }

  #aboveAnchor(): number {
    const { ascent, descent } = this.#type;
    const { textBaseline, fontSize } = this.#state;
    if (textBaseline === 'middle') return ((ascent - descent) / 2) * fontSize;
    if (textBaseline === 'top') return ascent * fontSize;
    return textBaseline === 'bottom' ? -descent * fontSize : 0;
  }

  #transform([a, b, c, d, e, f]: Matrix): void {
    const [A, B, C, D, E, F] = this.#state.matrix;
    this.#state.matrix = [
      A * a + C * b,
      B * a + D * b,
      A * c + C * d,
      B * c + D * d,
      A * e + C * f + E,
      B * e + D * f + F,
    ];
  }

  #at(x: number, y: number): string {
    const [a, b, c, d, e, f] = this.#state.matrix;
    return `${figure(a * x + c * y + e)} ${figure(b * x + d * y + f)}`;
  }

  #tell(next: Told): void {
    const told = this.#told;
    if (next.stroke !== told.stroke) this.#operators.push(next.stroke);
    if (next.fill !== told.fill) this.#operators.push(next.fill);
    if (next.width !== told.width) this.#operators.push(`${figure(next.width)} w`);
    if (next.dash !== told.dash) this.#operators.push(next.dash);
    this.#told = next;
  }
}

/** A hundredth of a point is finer than any printer. */
const figure = (value: number): string => String(Math.round(value * 100) / 100);
