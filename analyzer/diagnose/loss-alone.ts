/**
 * Where no ripple is read only the loss speaks: it has to be beyond doubt, more so where a hand lies between, and to stay while operators, lots and boxes come and go, spray
 * hours. Source: own choice.
 */
export const ALONE = { deviations: 1.64, setDeviations: 2.5, hours: 1.2, setHours: 2.5 };
