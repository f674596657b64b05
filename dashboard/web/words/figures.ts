/** Between groups of three digits, in all languages of the page alike. Source: ISO 80000-1:2022, section 7.3.1: a thin space. */
const NNBSP = '\u202f';

/** A whole number with its thousands set apart: "12 345". */
export function whole(value: number): string {
  return decimal(Math.round(value), 0);
}

/** A number with so many decimals, its thousands set apart. */
export function decimal(value: number, digits: number): string {
  const [int = '', fraction] = value.toFixed(digits).split('.');
  const grouped = int.replace(/\B(?=(\d{3})+$)/g, NNBSP);
  return fraction === undefined ? grouped : `${grouped}.${fraction}`;
}
