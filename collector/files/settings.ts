import { type Settings, StatedSettings } from '../contract/index.ts';
import { asText, readBytes } from './file-access.ts';
import { MOST_YAML_BYTES, parseYaml, type YamlSource } from './yaml-file.ts';

const EXPECTED = 'a settings file (YAML)';

/**
 * The settings from their text. All keys have defaults, so a file of nothing but comments gives those.
 *
 * @param file name for messages
 * @throws {AppError} SETTINGS_INVALID, one line: file, line, field, found, expected
 */
export function parseSettings(text: string, file = 'settings.yaml'): Settings {
  const source: YamlSource = { file, code: 'SETTINGS_INVALID', expected: EXPECTED };
  return parseYaml(text, StatedSettings, source, {});
}

/** Reads a settings file. @throws {AppError} SETTINGS_INVALID */
export async function readSettings(file: string): Promise<Settings> {
  const bytes = await readBytes(file, 'SETTINGS_INVALID', MOST_YAML_BYTES, EXPECTED);
  return parseSettings(asText(bytes, file, 'SETTINGS_INVALID', EXPECTED), file);
}
