import { z } from 'zod';
import { Id, isTimeZone } from '../contract/index.ts';
import { CHANNEL_FIELDS, checkChannelFields } from '../decode/mapped/mapping-config.ts';
import { asText, readBytes } from '../files/file-access.ts';
import { MOST_YAML_BYTES, parseYaml } from '../files/yaml-file.ts';
import { compileDateFormat, NUMBERED_TIMES } from './date-format.ts';

const ColumnName = z.string().min(1).max(200).meta({ description: 'Heading of a column, as the file has it' });

const Time = z
  .strictObject({
    column: ColumnName,
    clock: ColumnName.optional().meta({ description: 'Second column, where date and time of day stand apart' }),
    format: z
      .string()
      .max(60)
      .superRefine((format, context) => {
        const compiled = compileDateFormat(format);
        if (typeof compiled === 'string')
          context.addIssue({
            code: 'custom',
            message: `expected a pattern such as dd.MM.yyyy HH:mm:ss; it has ${compiled}`,
          });
      })
      .optional()
      .meta({ description: 'Default: ISO 8601, or Unix seconds' }),
    as: z
      .enum(NUMBERED_TIMES)
      .optional()
      .meta({ description: 'What numbers are; sheet-days: a spreadsheet’s serial dates, e.g. 46319.25' }),
    zone: z.string().refine(isTimeZone, 'expected an IANA time zone such as Europe/Vienna').optional(),
  })
  .superRefine((time, context) => {
    if (time.format !== undefined && time.zone === undefined && !time.format.includes('XXX'))
      context.addIssue({
        code: 'custom',
        path: ['zone'],
        message: 'expected a time zone, since the format has no offset (XXX)',
      });
    if (time.as === 'sheet-days' && time.zone === undefined)
      context.addIssue({
        code: 'custom',
        path: ['zone'],
        message: 'expected a time zone, since days of a spreadsheet have no offset',
      });
    if (time.as !== undefined && time.format !== undefined)
      context.addIssue({ code: 'custom', path: ['as'], message: 'expected either format or as' });
  });

const Column = z
  .strictObject({ column: ColumnName, gun: Id.optional(), ...CHANNEL_FIELDS })
  .superRefine(checkChannelFields);

/** How a logger's CSV becomes one of the contract. */
export const ImportMapping = z
  .strictObject({
    delimiter: z.enum([',', ';', '\t', '|']).default(','),
    decimal: z.enum(['.', ',']).default('.'),
    encoding: z.enum(['utf-8', 'windows-1252', 'utf-16le']).default('utf-8'),
    skipLines: z.number().int().min(0).max(1000).default(0).meta({ description: 'Lines above the headings' }),
    time: Time,
    gun: z
      .union(
        [Id, z.strictObject({ column: ColumnName, names: z.record(z.string().min(1).max(200), Id).optional() })],
        'expected a gun’s id, or { column: … } with names where they differ',
      )
      .optional()
      .meta({ description: 'Gun or air point of all columns that do not name one' }),
    absent: z
      .array(z.string().max(40))
      .max(50)
      .default([])
      .meta({ description: 'Cells that mean that there is no value' }),
    columns: z.array(Column).min(1).max(500),
  })
  .superRefine(({ gun, columns }, context) => {
    const seen = new Set<string>();
    for (const [index, column] of columns.entries()) {
      if (gun === undefined && column.gun === undefined)
        context.addIssue({
          code: 'custom',
          path: ['columns', index, 'gun'],
          message: 'expected a gun here or for the whole file',
        });
      const key = `${column.gun ?? ''} ${column.channel}`;
      if (seen.has(key))
        context.addIssue({
          code: 'custom',
          path: ['columns', index, 'channel'],
          message: 'expected each channel once for a gun',
        });
      seen.add(key);
    }
  });
export type ImportMapping = z.infer<typeof ImportMapping>;

/** Reads a mapping of logger files. @throws {AppError} CONFIG_INVALID with file, line, field, found, expected */
export async function readImportMapping(file: string): Promise<ImportMapping> {
  const expected = 'a column mapping (YAML) with time and columns';
  const text = asText(
    await readBytes(file, 'CONFIG_INVALID', MOST_YAML_BYTES, expected),
    file,
    'CONFIG_INVALID',
    expected,
  );
  return parseYaml(text, ImportMapping, { file, code: 'CONFIG_INVALID', expected });
}
