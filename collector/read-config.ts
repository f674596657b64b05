import { z } from 'zod';
import { OperationConfig } from './config.ts';
import { AppError } from './contract/errors.ts';
import { asText, readBytes } from './files/file-access.ts';
import { FILE_LIMIT_VARIABLES } from './files/file-limits.ts';
import { valueFaults } from './files/issue-words.ts';
import { isSecretField } from './files/secret-fields.ts';
import { MOST_YAML_BYTES, parseYaml, type YamlSource, yamlFaults } from './files/yaml-file.ts';
import { portClashes } from './port-clashes.ts';

const PREFIX = 'DRIFTLINE_';
const EXPECTED = 'a configuration (YAML) such as "broker: { port: 1884 }"';
/** Where a fault lies that the file does not have. */
const FROM_OUTSIDE = 'configuration from environment and flags';
const Table = z.record(z.string(), z.unknown());

/** What stands above the file, weaker first. */
export interface ConfigSources {
  readonly environment: Readonly<Record<string, string | undefined>>;
  /** From the command line, in the schema's own shape; undefined leaves a key alone. */
  readonly flags: Readonly<Record<string, unknown>>;
}

/**
 * Reads the configuration of the operation: default < file < environment < flag.
 *
 * @param file of `--config`; null when none was given
 * @throws {AppError} CONFIG_INVALID that names each fault: file and line, or path, found, expected
 */
export async function readConfig(file: string | null, sources: ConfigSources): Promise<OperationConfig> {
  if (file === null) return resolveConfig({}, sources);
  const bytes = await readBytes(file, 'CONFIG_INVALID', MOST_YAML_BYTES, EXPECTED);
  return resolveConfig(parseConfigFile(asText(bytes, file, 'CONFIG_INVALID', EXPECTED), file), sources);
}

/**
 * The keys that a configuration file sets; an empty file sets none.
 *
 * @throws {AppError} CONFIG_INVALID with file, line, field, found, expected
 */
export function parseConfigFile(text: string, file = 'config.yaml'): Record<string, unknown> {
  const source: YamlSource = { file, code: 'CONFIG_INVALID', expected: EXPECTED };
  if (!hasKeys(text)) return {};
  parseYaml(text, OperationConfig, source, {});
  return parseYaml(text, Table, source, {});
}

/**
 * Puts the configuration together from a file's keys, the environment and the flags.
 *
 * @throws {AppError} CONFIG_INVALID
 * @example
 * resolveConfig({}, { environment: { DRIFTLINE_BROKER__PORT: '0' }, flags: {} }).broker.port; // 0
 */
export function resolveConfig(fromFile: Record<string, unknown>, sources: ConfigSources): OperationConfig {
  const merged = overlay(overlay(fromFile, fromEnvironment(sources.environment)), sources.flags);
  const parsed = OperationConfig.safeParse(merged);
  if (!parsed.success)
    throw new AppError(
      'CONFIG_INVALID',
      `${FROM_OUTSIDE}: ${valueFaults(parsed.error, merged, OperationConfig).join('; ')}`,
    );
  // Looked at when all is together: one of two ports may come from the file and the other from a flag.
  const clashes = portClashes(parsed.data);
  if (clashes.length > 0) throw new AppError('CONFIG_INVALID', `configuration: ${clashes.join('; ')}`);
  return parsed.data;
}

/** Every fault of a configuration as a line of its own; empty when there is none. */
export async function configFaults(file: string | null, sources: ConfigSources): Promise<string[]> {
  let fromFile: Record<string, unknown> = {};
  if (file !== null) {
    const source: YamlSource = { file, code: 'CONFIG_INVALID', expected: EXPECTED };
    const text = asText(
      await readBytes(file, 'CONFIG_INVALID', MOST_YAML_BYTES, EXPECTED),
      file,
      source.code,
      EXPECTED,
    );
    const faults = hasKeys(text) ? yamlFaults(text, OperationConfig, source, {}) : [];
    if (faults.length > 0) return faults;
    fromFile = parseConfigFile(text, file);
  }
  const merged = overlay(overlay(fromFile, fromEnvironment(sources.environment)), sources.flags);
  const parsed = OperationConfig.safeParse(merged);
  return parsed.success
    ? portClashes(parsed.data).map((clash) => `configuration: ${clash}`)
    : valueFaults(parsed.error, merged, OperationConfig).map((fault) => `${FROM_OUTSIDE}: ${fault}`);
}

function hasKeys(text: string): boolean {
  return !text.split('\n').every((line) => /^\s*(#|$)/.test(line));
}

/** Values of the environment by path: `DRIFTLINE_BROKER__MAX_CONNECTIONS` is `broker.maxConnections`. */
function fromEnvironment(environment: ConfigSources['environment']): Record<string, unknown> {
  const result: Record<string, unknown> = {};
  for (const [name, text] of Object.entries(environment)) {
    if (text === undefined || !name.startsWith(PREFIX) || FILE_LIMIT_VARIABLES.includes(name)) continue;
    const path = name.slice(PREFIX.length).split('__').map(camelCase);
    let table = result;
    for (const key of path.slice(0, -1)) {
      const inner = Object.hasOwn(table, key) && isTable(table[key]) ? table[key] : {};
      table[key] = inner;
      table = inner;
    }
    // A password may look like a number.
    table[path.at(-1)!] = isSecretField(path) ? text : scalar(text);
  }
  return result;
}

function camelCase(name: string): string {
  return name.toLowerCase().replace(/_([a-z0-9])/g, (_, letter: string) => letter.toUpperCase());
}

/** A number or truth value where the text is one, else the text. */
function scalar(text: string): unknown {
  if (text === 'true' || text === 'false') return text === 'true';
  return /^-?\d+(\.\d+)?$/.test(text) ? Number(text) : text;
}

function overlay(below: Record<string, unknown>, above: Readonly<Record<string, unknown>>): Record<string, unknown> {
  const result = { ...below };
  for (const [key, value] of Object.entries(above)) {
    const under = Object.hasOwn(result, key) ? result[key] : undefined;
    if (value !== undefined) result[key] = isTable(under) && isTable(value) ? overlay(under, value) : value;
  }
  return result;
}

function isTable(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}
