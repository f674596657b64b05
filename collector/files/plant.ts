import { Plant } from '../contract/index.ts';
import { asText, readBytes } from './file-access.ts';
import { MOST_YAML_BYTES, parseYaml, type YamlSource } from './yaml-file.ts';

const EXPECTED = 'a plant file (YAML) with site and guns';

/**
 * The plant file from its text.
 *
 * @param file name for messages
 * @throws {AppError} PLANT_INVALID, one line: file, line, field, found, expected
 */
export function parsePlant(text: string, file = 'plant.yaml'): Plant {
  const source: YamlSource = { file, code: 'PLANT_INVALID', expected: EXPECTED };
  return parseYaml(text, Plant, source);
}

/** Reads a plant file. @throws {AppError} PLANT_INVALID */
export async function readPlant(file: string): Promise<Plant> {
  const bytes = await readBytes(file, 'PLANT_INVALID', MOST_YAML_BYTES, EXPECTED);
  return parsePlant(asText(bytes, file, 'PLANT_INVALID', EXPECTED), file);
}
