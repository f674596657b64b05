import { parquetWriteBuffer } from 'hyparquet-writer';
import {
  type Plant,
  powderAt,
  powderNames,
  RUN_FIELDS,
  type RunField,
  type RunTable,
} from '../../collector/contract/index.ts';

/** Fields that are times. */
const TIMES: ReadonlySet<string> = new Set(['start', 'end']);

const FLOW = 'm3/h (0 °C, 1013.25 hPa)';
const CONDUCTANCE = 'dm3/(s·bar) (ISO 6358)';
/** Units of the columns that have one, as `RUN_FIELDS` says. */
const UNITS: Readonly<Partial<Record<RunField, string>>> = {
  ...{ sprayMs: 'ms', output: 'g/min', outputSpread: 'g/min', zeroOutput: 'g/min', massStart: 'kg', massEnd: 'kg' },
  ...{ conveyingFlow: FLOW, conveyingFlowSpread: FLOW, supplementaryFlow: FLOW, fluidizingFlow: FLOW },
  ...{ zeroConveyingFlow: FLOW, zeroSupplementaryFlow: FLOW },
  ...{ conveyingPressure: 'bar', conveyingPressureSpread: 'bar', ripple: 'bar', supplementaryPressure: 'bar' },
  ...{ fluidizingPressure: 'bar', supplyPressure: 'bar', supplyPressureIdle: 'bar' },
  ...{ zeroConveyingPressure: 'bar', zeroSupplementaryPressure: 'bar' },
  ...{ conveyingConductance: CONDUCTANCE, supplementaryConductance: CONDUCTANCE, fluidizingConductance: CONDUCTANCE },
};

/**
 * Spray runs as a Parquet file: a row a run, columns named as the run's fields, times as UTC timestamps in ms, the
 * powder by its id and last by its name in the plant file, null where something was not measured. The units of the columns stand in the file's key-value metadata under "units",
 * as JSON.
 */
export function runsParquet(table: RunTable, plant: Pick<Plant, 'powders'>): Uint8Array {
  const names = powderNames(plant);
  const { gun, length, columns, powders } = table;
  const rows = Array.from({ length }, (_, row) => row);
  const columnData = RUN_FIELDS.map((field) => {
    const column = columns[field];
    if (TIMES.has(field))
      return { name: field, data: rows.map((row) => new Date(column[row]!)), type: 'TIMESTAMP' as const };
    if (field === 'powder')
      return {
        name: field,
        data: rows.map((row) => powders[column[row]!] ?? null),
        type: 'STRING' as const,
        nullable: true,
      };
    const data = rows.map((row) => (Number.isNaN(column[row]!) ? null : column[row]!));
    return { name: field, data, type: 'DOUBLE' as const, nullable: true };
  });
  const gunColumn = { name: 'gun', data: rows.map(() => gun), type: 'STRING' as const, nullable: false };
  const nameColumn = {
    name: 'powderName',
    data: rows.map((row) => names.get(powderAt(table, row)) ?? null),
    ...{ type: 'STRING' as const, nullable: true },
  };
  return new Uint8Array(
    parquetWriteBuffer({
      columnData: [gunColumn, ...columnData, nameColumn],
      kvMetadata: [{ key: 'units', value: JSON.stringify(UNITS) }],
    }),
  );
}
