/** Physical dimensions that the channels of the contract have. */
export type Dimension = 'pressure' | 'volume-flow' | 'temperature' | 'mass-flow' | 'mass';

/** A linear conversion: canonical = value · scale + offset. */
export interface Conversion {
  readonly scale: number;
  readonly offset: number;
}

export type UnitLookup =
  | { readonly kind: 'ok'; readonly conversion: Conversion }
  /** A unit that exists, of something that the channel does not measure. */
  | { readonly kind: 'wrong-dimension' }
  | { readonly kind: 'unknown' };

/** psi in Pa. Source: NIST SP 811 (2008) appendix B.8, pound-force per square inch, from its exact definition. */
const PSI_PA = 6894.757293168361;
/** Avoirdupois pound in g, exact. Source: NIST SP 811 (2008) appendix B.8. */
const POUND_G = 453.59237;
/** Cubic foot per minute in m3/h: 0.3048³ · 60, exact. Source: NIST SP 811 (2008) appendix B.8. */
const CUBIC_FOOT_PER_MINUTE_M3H = 1.69901079552;

const by = (scale: number, offset = 0): Conversion => ({ scale, offset });

/**
 * Every unit of each dimension that a reading may carry, with its conversion to the canonical unit: all
 * units of that dimension in the SenML registry (RFC 8428 section 12.1; RFC 8798 tables 1 and 2), and the
 * UCUM codes of the contract's channel table.
 */
const CONVERSIONS: Readonly<Record<Dimension, Readonly<Record<string, Conversion>>>> = {
  /** Canonical: bar. */
  pressure: {
    bar: by(1),
    Pa: by(1e-5),
    hPa: by(1e-3),
    kPa: by(0.01),
    MPa: by(10),
    '[psi]': by(PSI_PA / 1e5),
  },
  /** Canonical: m3/h. */
  'volume-flow': {
    'm3/h': by(1),
    'm3/s': by(3600),
    'l/s': by(3.6),
    'L/min': by(0.06),
    '[ft_i]3/min': by(CUBIC_FOOT_PER_MINUTE_M3H),
  },
  /** Canonical: Cel. Source of the scales: NIST SP 811 (2008) section B.8, K = (°F + 459.67) / 1.8. */
  temperature: { Cel: by(1), K: by(1, -273.15), '[degF]': by(5 / 9, -160 / 9) },
  /** Canonical: g/min. The SenML registry has no unit of mass flow. */
  'mass-flow': {
    'g/min': by(1),
    'kg/h': by(1000 / 60),
    'kg/s': by(60_000),
    '[lb_av]/h': by(POUND_G / 60),
  },
  /** Canonical: kg. */
  mass: { kg: by(1), g: by(1e-3), '[lb_av]': by(POUND_G / 1000) },
};

/** Registered SenML units of dimensions that no channel has. Source: RFC 8428 section 12.1, RFC 8798 tables 1 and 2. */
const OTHER_UNITS =
  'm s A cd mol Hz rad sr N J W C V F Ohm S Wb T H lm lx Bq Gy Sv kat m2 m3 l m/s m/s2 W/m2 cd/m2 bit bit/s lat lon pH ' +
  'dB dBW Bspl count / % %RH %EL EL 1/s 1/min beat/min beats S/m B VA VAs var vars J/m kg/m3 deg ms min h MHz kW kVA ' +
  'kvar Ah Wh kWh varh kvarh kVAh Wh/km KiB GB Mbit/s B/s MB/s mV mA dBm ug/m3 mm/h m/h ppm /100 /1000 mm cm km km/h';

const known = new Set<string>([
  ...OTHER_UNITS.split(' '),
  ...Object.values(CONVERSIONS).flatMap((units) => Object.keys(units)),
]);

const UNKNOWN: UnitLookup = { kind: 'unknown' };
const WRONG_DIMENSION: UnitLookup = { kind: 'wrong-dimension' };
const LOOKUPS: ReadonlyMap<string, ReadonlyMap<string, UnitLookup>> = new Map(
  Object.entries(CONVERSIONS).map(([dimension, units]) => [
    dimension,
    new Map(Object.entries(units).map(([unit, conversion]) => [unit, { kind: 'ok', conversion }])),
  ]),
);

/** Units that readings of a dimension may carry, canonical first. */
export function unitsOf(dimension: Dimension): readonly string[] {
  return Object.keys(CONVERSIONS[dimension]);
}

/**
 * How a value in `unit` becomes canonical for a channel of this dimension.
 *
 * @param dimension what the channel measures; null for channels that carry no number
 * @param unit code as sent, case matters
 * @example
 * lookUpUnit('pressure', 'kPa'); // { kind: 'ok', conversion: { scale: 0.01, offset: 0 } }
 */
export function lookUpUnit(dimension: Dimension | null, unit: string): UnitLookup {
  const found = dimension === null ? undefined : LOOKUPS.get(dimension)?.get(unit);
  return found ?? (known.has(unit) ? WRONG_DIMENSION : UNKNOWN);
}
