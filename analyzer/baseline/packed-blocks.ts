import type { Block } from './block.ts';
import { type PushedNumbers, pushedFloats, pushedPlaces } from './pushed-numbers.ts';

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

/** Many blocks as plain numbers that threads share: as objects a year of them would be most of what a collection of garbage looks at. */
export interface PackedBlocks {
  readonly numbers: Float64Array;
  /** By block: its gun and its powder, as places among the names. */
  readonly guns: Int32Array;
  readonly powders: Int32Array;
  readonly names: readonly string[];
}

/** Packs blocks one by one. */
export class BlockPacker {
  readonly #numbers = pushedFloats();
  readonly #guns = pushedPlaces();
  readonly #powders = pushedPlaces();
  readonly #names: string[] = [];

  get length(): number {
    return this.#guns.length;
  }

  push(block: Block): void {
    for (let place = 0; place < WIDTH; place++) this.#numbers.push(block[NUMBERS[place]!]);
    this.#name(block.gun, this.#guns);
    this.#name(block.powder, this.#powders);
  }

  #name(name: string, places: PushedNumbers<Int32Array>): void {
    let place = this.#names.indexOf(name);
    if (place < 0) place = this.#names.push(name) - 1;
    places.push(place);
  }

  packed(): PackedBlocks {
    return {
      numbers: this.#numbers.shared(),
      guns: this.#guns.shared(),
      powders: this.#powders.shared(),
      names: this.#names,
    };
  }
}

/** @param place below how many there are */
export function blockAt({ numbers: n, guns, powders, names }: PackedBlocks, place: number): Block {
  let from = place * WIDTH;
  return {
    gun: names[guns[place]!]!,
    powder: names[powders[place]!]!,
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
