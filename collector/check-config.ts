import { z } from 'zod';
import { readTls } from './access/tls-files.ts';
import { OperationConfig } from './config.ts';
import { AppError, type Code, Plant, Settings, StatedSettings } from './contract/index.ts';
import { readBrokerSecrets } from './external/broker-secrets.ts';
import { asText, readBytes } from './files/file-access.ts';
import { MOST_YAML_BYTES, yamlFaults } from './files/yaml-file.ts';
import { type ConfigSources, configFaults, readConfig } from './read-config.ts';

export interface FilesToCheck {
  readonly plant?: string | undefined;
  readonly settings?: string | undefined;
  readonly config?: string | undefined;
}

/** What a JSON Schema can be asked of. */
export const DESCRIBED = { config: OperationConfig, plant: Plant, settings: Settings } as const;

/**
 * Every fault of the files that were given, of those that the configuration names, and of the environment, a line each; empty
 * when the service would take them all.
 */
export async function checkFiles(files: FilesToCheck, sources: ConfigSources): Promise<string[]> {
  const faults: string[] = [];
  const attempt = async (check: () => Promise<string[]>): Promise<void> => {
    try {
      faults.push(...(await check()));
    } catch (error) {
      if (!(error instanceof AppError)) throw error;
      faults.push(error.message);
    }
  };
  await attempt(() => configFaults(files.config ?? null, sources));
  if (faults.length === 0) {
    const { tls, externalBroker } = await readConfig(files.config ?? null, sources);
    const named = [() => readTls(tls), ...(externalBroker.url ? [() => readBrokerSecrets(externalBroker)] : [])];
    for (const read of named)
      await attempt(async () => {
        await read();
        return [];
      });
  }
  const { plant, settings } = files;
  if (plant !== undefined) await attempt(() => fileFaults(plant, 'PLANT_INVALID', Plant, 'a plant file (YAML)'));
  if (settings !== undefined)
    await attempt(() => fileFaults(settings, 'SETTINGS_INVALID', StatedSettings, 'a settings file (YAML)', {}));
  return faults;
}

async function fileFaults(
  file: string,
  code: Code,
  schema: z.ZodType,
  expected: string,
  whenEmpty?: unknown,
): Promise<string[]> {
  const text = asText(await readBytes(file, code, MOST_YAML_BYTES, expected), file, code, expected);
  return yamlFaults(text, schema, { file, code, expected }, whenEmpty);
}

/** JSON Schema (draft 2020-12) of what a file may hold, for editors. */
export function jsonSchema(what: keyof typeof DESCRIBED): object {
  // What JSON Schema cannot say (a time zone that exists, ids given once) is left to the check itself.
  return z.toJSONSchema(DESCRIBED[what], { io: 'input', unrepresentable: 'any' });
}
