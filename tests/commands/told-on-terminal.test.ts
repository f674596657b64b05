import { expect, test } from 'vitest';
import { toldOnTerminal } from '../../commands/told-on-terminal.ts';

function* work(): Generator<number, string> {
  yield 0;
  yield 0.501;
  yield 0.502;
  return 'done';
}
const terminal = (isTTY: boolean) => {
  const written: string[] = [];
  return { written, isTTY, write: (text: string | Uint8Array) => written.push(String(text)) > 0 };
};

test('a terminal is told each per cent once, and the line is taken away at the end', () => {
  const screen = terminal(true);
  expect(toldOnTerminal('trying', work(), (share) => share, screen)).toBe('done');
  expect(screen.written).toEqual(['\rtrying: 0 %', '\rtrying: 50 %', '\r\u001b[K']);
});

test('a pipe is told nothing', () => {
  const pipe = terminal(false);
  expect(toldOnTerminal('trying', work(), (share) => share, pipe)).toBe('done');
  expect(pipe.written).toEqual([]);
});
