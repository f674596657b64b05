import { createTransport } from 'nodemailer';
import type { OperationConfig } from '../../collector/index.ts';

export type MailConfig = OperationConfig['telling']['mail'];

export interface Letter {
  readonly subject: string;
  readonly text: string;
  /** The same for a try again, so that mail programs show it once. */
  readonly messageId: string;
}

/** Source: own choice: a dead server must not keep its connection for minutes, which are the library's defaults. */
const TIMEOUT_MS = 15_000;

/**
 * Sends a letter over SMTP, with a connection of its own.
 *
 * @throws {Error} where the server is not reached or refuses
 */
export async function sendMail(config: MailConfig, { subject, text, messageId }: Letter): Promise<void> {
  const { host, port, security, user, password, from, to } = config;
  const transport = createTransport({
    host,
    port,
    secure: security === 'tls',
    requireTLS: security === 'starttls',
    ignoreTLS: security === 'none',
    ...(user === '' ? {} : { auth: { user, pass: password } }),
    connectionTimeout: TIMEOUT_MS,
    greetingTimeout: TIMEOUT_MS,
    socketTimeout: TIMEOUT_MS,
    dnsTimeout: TIMEOUT_MS,
    disableFileAccess: true,
    disableUrlAccess: true,
  });
  try {
    await transport.sendMail({
      ...{ from, to, subject, text, messageId },
      headers: { 'Auto-Submitted': 'auto-generated' },
    });
  } finally {
    transport.close();
  }
}
