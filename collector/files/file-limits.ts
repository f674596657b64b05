import { AppError } from '../contract/index.ts';

/** Limits of files, which hold for those too that are read before, or without, a configuration. */
export interface FileLimits {
  /** Uses of an alias while a YAML file's values are made: stops small files that unfold into huge ones. */
  readonly maxYamlAliases: number;
  /** Times that a gzip file may grow once it has passed the free size: beyond, it is taken for a bomb. */
  readonly maxGzipGrowth: number;
}

/** Where each comes from, and its default. Source: own choice: readings grow 5 to 40 times where gzip allows 1032; no file
 * of ours needs an alias more than a few dozen times. */
const VARIABLES = {
  maxYamlAliases: { variable: 'DRIFTLINE_MAX_YAML_ALIASES', usual: 200 },
  maxGzipGrowth: { variable: 'DRIFTLINE_MAX_GZIP_GROWTH', usual: 200 },
} as const satisfies Record<keyof FileLimits, { variable: string; usual: number }>;

/** Names in the environment that are no keys of the configuration. */
export const FILE_LIMIT_VARIABLES: readonly string[] = Object.values(VARIABLES).map(({ variable }) => variable);

/**
 * The limits as the environment has them.
 *
 * @throws {AppError} CONFIG_INVALID: one is no whole number above 0
 */
export function fileLimits(environment: Readonly<Record<string, string | undefined>> = process.env): FileLimits {
  const limit = ({ variable, usual }: { variable: string; usual: number }): number => {
    const text = environment[variable];
    if (text === undefined || text === '') return usual;
    if (/^[1-9]\d{0,8}$/.test(text)) return Number(text);
    throw new AppError(
      'CONFIG_INVALID',
      `${variable}: found ${JSON.stringify(text)}, expected a whole number from 1 on`,
    );
  };
  return { maxYamlAliases: limit(VARIABLES.maxYamlAliases), maxGzipGrowth: limit(VARIABLES.maxGzipGrowth) };
}
