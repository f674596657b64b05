import { spawn } from 'node:child_process';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';
import { onTestFinished } from 'vitest';

export interface TakenMail {
  readonly from: string;
  readonly to: readonly string[];
  readonly text: string;
}

/** A real SMTP server in a process of its own, on loopback; ended with the test. */
export async function smtpServer(failFirst = 0): Promise<{ port: number; mails: TakenMail[] }> {
  const child = spawn(
    process.execPath,
    [fileURLToPath(new URL('./smtp-child.mjs', import.meta.url)), String(failFirst)],
    {
      stdio: ['ignore', 'pipe', 'inherit'],
    },
  );
  onTestFinished(() => {
    child.kill();
  });
  const mails: TakenMail[] = [];
  return new Promise((resolve, reject) => {
    child.once('error', reject);
    createInterface({ input: child.stdout }).on('line', (line) => {
      const said = JSON.parse(line) as TakenMail & { port?: number };
      if (said.port === undefined) mails.push(said);
      else resolve({ port: said.port, mails });
    });
  });
}
