import { describe, expect, test } from 'vitest';
import { OperationConfig } from '../../collector/config.ts';
import { parseConfigFile, readConfig, resolveConfig } from '../../collector/read-config.ts';

const NOTHING = { environment: {}, flags: {} };

describe('configuration', () => {
  test('has a default for every key', () => {
    const config = resolveConfig({}, NOTHING);
    expect(config).toEqual(OperationConfig.parse({}));
    expect(config).toMatchObject({ bind: '127.0.0.1', broker: { port: 1883, root: 'airlines' }, http: { port: 8080 } });
  });

  test('takes flag over environment over file over default', () => {
    const file = parseConfigFile('broker: { port: 1, maxConnections: 2, maxSessions: 3 }');
    const environment = { DRIFTLINE_BROKER__PORT: '10', DRIFTLINE_BROKER__MAX_CONNECTIONS: '20', HOME: '/' };
    const { broker } = resolveConfig(file, { environment, flags: { broker: { port: 100, root: undefined } } });
    expect(broker).toMatchObject({ port: 100, maxConnections: 20, maxSessions: 3, root: 'airlines' });
  });

  test('an empty file and one of comments set nothing', () => {
    expect(parseConfigFile('')).toEqual({});
    expect(parseConfigFile('# nothing yet\n')).toEqual({});
  });

  test.each([
    [
      'broker:\n  prot: 1883\n',
      'config.yaml: line 2: broker.prot: found the unknown key "prot", expected only port root',
    ],
    ['broker:\n  port: 70000\n', 'config.yaml: line 2: broker.port: found 70000, expected at most 65535'],
    ['bind: 7\n', 'config.yaml: line 1: bind: found 7, expected text'],
    [
      'broker: { root: "a/+/b" }\n',
      'config.yaml: line 1: broker.root: found "a/+/b", expected topic levels without wildcards',
    ],
    ['- 1\n', 'config.yaml: line 1: the whole: found a list of 1, expected a mapping'],
  ])('of a file names line, path, found and expected: %j', (text, start) => {
    expect(() => parseConfigFile(text)).toThrow(
      expect.objectContaining({ code: 'CONFIG_INVALID', message: expect.stringContaining(start) }),
    );
  });

  test('of environment and flags names every fault at once, by path', () => {
    const environment = { DRIFTLINE_BROKER__PORT: 'many', DRIFTLINE_BORKER__PORT: '1' };
    expect(() => resolveConfig({}, { environment, flags: { http: { port: -1 } } })).toThrow(
      /^configuration from environment and flags: broker\.port: found "many", expected a number; http\.port: found -1, expected at least 0; borker: found the unknown key "borker"/,
    );
  });

  test('a file that is not there is said plainly', async () => {
    await expect(readConfig('/no/such/config.yaml', NOTHING)).rejects.toMatchObject({ code: 'CONFIG_INVALID' });
  });
});
