import { CommanderError } from 'commander';
import { expect, test } from 'vitest';
import { AppError } from '../../collector/contract/index.ts';
import { failure } from '../../commands/failure.ts';

test.each([
  { error: new AppError('LOG_UNUSABLE', 'log.csv: line 7'), status: 2, line: 'log.csv: line 7' },
  { error: new AppError('PORT_UNUSABLE', 'port 1883 is taken'), status: 1, line: 'port 1883 is taken' },
  { error: new CommanderError(0, 'commander.version', '0.1.0'), status: 0, line: '' },
  {
    error: new CommanderError(1, 'commander.unknownCommand', "error: unknown command 'x'"),
    status: 2,
    line: "unknown command 'x'",
  },
  {
    error: new TypeError('x is not a function'),
    status: 1,
    line: 'a fault of our own, please report it: TypeError: x is not a function',
  },
])('$error ends with status $status', ({ error, status, line }) => {
  expect(failure(error)).toEqual({ status, line });
});

test('a message stays one line without control characters, however long it is', () => {
  const { line } = failure(new AppError('USAGE', `a\n  b\u001b[2J ${'x'.repeat(5000)}`));
  expect(line).toMatch(/^a b\ufffd\[2J x+…$/);
  expect(line.length).toBeLessThanOrEqual(2001);
});
