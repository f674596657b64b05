import type { Server } from 'node:http';
import type { Duplex } from 'node:stream';
import { problem } from '../problem.ts';
import type { RefusalLog } from './refusal-log.ts';

/** What Node's own parser refuses before there is a request, by its code. */
const STATUS: Readonly<Record<string, number>> = {
  HPE_HEADER_OVERFLOW: 431,
  HPE_CHUNK_EXTENSIONS_OVERFLOW: 413,
  ERR_HTTP_REQUEST_TIMEOUT: 408,
};
const REASONS: Readonly<Record<number, string>> = {
  400: 'Bad Request',
  408: 'Request Timeout',
  413: 'Content Too Large',
  431: 'Request Header Fields Too Large',
};

/** Answers bytes that are no request, once and shortly, and ends the connection. */
export function answerClientFaults(server: Server, refusals: RefusalLog): void {
  server.on('clientError', (error: NodeJS.ErrnoException, socket: Duplex & { remoteAddress?: string }) => {
    // Whoever has gone reads no answer.
    if (error.code === 'ECONNRESET' || !socket.writable) {
      socket.destroy();
      return;
    }
    const status = STATUS[error.code ?? ''] ?? 400;
    const reason = REASONS[status] ?? '';
    const code = 'REQUEST_UNREADABLE';
    refusals.add({ status, code, method: '', path: '', remote: socket.remoteAddress ?? '', who: 'nobody' });
    refusals.ended(socket);
    const body = JSON.stringify({ ...problem(code, reason), status });
    socket.end(
      `HTTP/1.1 ${status} ${reason}\r\nContent-Type: application/problem+json\r\nContent-Length: ${Buffer.byteLength(body)}\r\nConnection: close\r\n\r\n${body}`,
      () => socket.destroy(),
    );
  });
}
