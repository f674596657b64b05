/** A rise by more than this between two readings of a scale is a refill, kg. Source: own choice, several scale steps. */
const REFILL_KG = 0.1;

/**
 * What the scale showed at the first and the last reading of a pull. Five readings and more without a refill
 * are smoothed by a straight line, because a scale shows steps as large as what a pull takes.
 *
 * @param times epoch ms, first `count`
 * @param masses kg, NaN where not read
 * @param row where to write the two masses, kg; left as they are when nothing was read
 */
export function massAtEnds(
  times: Float64Array,
  masses: Float64Array,
  count: number,
  row: Float64Array,
  startField: number,
  endField: number,
): void {
  let held = 0;
  let first = Number.NaN;
  let firstTime = 0;
  let last = Number.NaN;
  let lastTime = 0;
  let refilled = false;
  let meanAge = 0;
  let meanMass = 0;
  let ages = 0;
  let cross = 0;
  for (let index = 0; index < count; index++) {
    const mass = masses[index]!;
    if (Number.isNaN(mass)) continue;
    if (held === 0) {
      first = mass;
      firstTime = times[index]!;
    } else if (mass - last > REFILL_KG) refilled = true;
    last = mass;
    lastTime = times[index]!;
    held++;
    const age = (lastTime - firstTime) / 1000;
    const before = age - meanAge;
    meanAge += before / held;
    meanMass += (mass - meanMass) / held;
    ages += before * (age - meanAge);
    cross += before * (mass - meanMass);
  }
  if (held === 0) return;
  if (held < 5 || refilled || ages === 0) {
    row[startField] = first;
    row[endField] = last;
    return;
  }
  const slope = cross / ages;
  row[startField] = meanMass - slope * meanAge;
  row[endField] = row[startField]! + (slope * (lastTime - firstTime)) / 1000;
}
