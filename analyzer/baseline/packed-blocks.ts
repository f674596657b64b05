import type { Block } from './block.ts';

/** The numbers of a block, in the order in which they are kept. */
const NUMBERS = [
  'start',
  'end',
  'runs',
  'minutes',
  'kilograms',
  'output',
  'outputVariance',
  'unsteadiness',
  'flow',
  'pressure',
  'supplementary',
  'supplementaryPressure',
  'fluidizing',
  'fluidizingPressure',
  'ripple',
  'rippleVariance',
  'supply',
  'sag',
  'sagRuns',
] as const satisfies readonly Exclude<keyof Block, 'gun' | 'powder'>[];
const WIDTH = NUMBERS.length;
/** Blocks that there is room for at first. Source: own choice, some weeks of a hall. */
const FIRST = 1024;

/** Many blocks as plain numbers: as objects a year of them would be most of what a collection of garbage looks at. */
export class PackedBlocks {
  #numbers = new Float64Array(FIRST * WIDTH);
  readonly #guns: string[] = [];
  readonly #powders: string[] = [];

  get length(): number {
    return this.#guns.length;
  }

  push(block: Block): void {
    const from = this.length * WIDTH;
    if (from + WIDTH > this.#numbers.length) {
      const longer = new Float64Array(2 * this.#numbers.length);
      longer.set(this.#numbers);
      this.#numbers = longer;
    }
    for (let place = 0; place < WIDTH; place++) this.#numbers[from + place] = block[NUMBERS[place]!];
    this.#guns.push(block.gun);
    this.#powders.push(block.powder);
  }

  /** @param place below `length` */
  at(place: number): Block {
    const n = this.#numbers;
    let from = place * WIDTH;
    return {
      gun: this.#guns[place]!,
      powder: this.#powders[place]!,
      start: n[from++]!,
      end: n[from++]!,
      runs: n[from++]!,
      minutes: n[from++]!,
      kilograms: n[from++]!,
      output: n[from++]!,
      outputVariance: n[from++]!,
      unsteadiness: n[from++]!,
      flow: n[from++]!,
      pressure: n[from++]!,
      supplementary: n[from++]!,
      supplementaryPressure: n[from++]!,
      fluidizing: n[from++]!,
      fluidizingPressure: n[from++]!,
      ripple: n[from++]!,
      rippleVariance: n[from++]!,
      supply: n[from++]!,
      sag: n[from++]!,
      sagRuns: n[from]!,
    };
  }
}
