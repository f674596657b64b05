import { signal } from '@preact/signals';
import type { Ruler } from '../words/gun-names.ts';

/** Width of the wall's column of gun names and size of its letters, in pixels of a 1920 pixel screen. */
const ROOM_PX = 326;
const FONT = '600 66px Wall';
/** Of all that is no gun's name. */
const LIGHT = '500 66px Wall';
/** Room for a job's gun and part together, beside how sure it is. */
export const GUN_AND_PART_PX = 620;
/** Room for by when, spray hours and the check together, beside the two gaps between them. */
export const WHEN_PX = 750;

const face = signal(0);
let pen: CanvasRenderingContext2D | null = null;

interface WallRuler extends Ruler {
  /** Width of what is no name. */
  light(text: string): number;
}

/** Measures names in the wall's typeface; measures anew once that is loaded. */
export function nameRuler(): WallRuler {
  if (!pen) {
    pen = document.createElement('canvas').getContext('2d');
    void Promise.all([document.fonts.load(FONT), document.fonts.load(LIGHT)]).then(() => {
      face.value += 1;
    });
  }
  face.value;
  return { room: ROOM_PX, width: (text) => widthOf(text, FONT), light: (text) => widthOf(text, LIGHT) };
}

function widthOf(text: string, font: string): number {
  if (!pen) return text.length * 24;
  pen.font = font;
  // The wall's figures are all as wide as a nought; a canvas would draw a slim one.
  return pen.measureText(text.replace(/\d/g, '0')).width;
}
