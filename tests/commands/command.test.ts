import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { newProgram } from '../../commands/command.ts';

test('the program tells the version of its package', () => {
  const { version } = JSON.parse(readFileSync(new URL('../../package.json', import.meta.url), 'utf8')) as {
    version: string;
  };
  expect(newProgram().version()).toBe(version);
});
