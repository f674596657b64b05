import type { ErrorRequestHandler, Response } from 'express';
import { AppError, codes } from '../../collector/contract/index.ts';
import type { Caller } from './access/caller.ts';
import { type Problem, problem, RequestFault } from './problem.ts';
import type { RefusalLog } from './security/refusal-log.ts';

/**
 * Turns whatever went wrong into a problem document; faults of the service itself are also told to `onFault`, refusals
 * to `refusals`.
 */
export function errorAnswer(
  onFault: (error: unknown) => void,
  refusals: RefusalLog,
  maxBodyBytes: number,
): ErrorRequestHandler {
  return (error: unknown, request, response, next) => {
    // Whoever left in the midst of a body reads no answer; where we ended it that was told already.
    if (isHttpFault(error) && error.type === 'request.aborted') {
      response.destroy();
      return;
    }
    const answer = problemOf(error, maxBodyBytes);
    if (answer.status >= 500 && answer.code !== 'NOT_READY') onFault(error);
    if (answer.status >= 400 && answer.status < 500) {
      const { method, path, ip, socket } = request;
      const who = (response.locals as { caller?: Caller }).caller?.who ?? 'nobody';
      refusals.add({ status: answer.status, code: answer.code, method, path, remote: ip ?? '', who }, socket);
    }
    if (response.headersSent) return next(error);
    sendProblem(response, answer);
  };
}

function sendProblem(response: Response, answer: Problem): void {
  response
    .status(answer.status)
    .set('Cache-Control', 'no-store')
    .type('application/problem+json')
    .send(JSON.stringify(answer));
}

/** What the body reader and the router raise: `status` is always set, `type` by the body reader only. */
interface HttpFault {
  readonly status: number;
  readonly type?: string;
  readonly message: string;
}

function problemOf(error: unknown, maxBodyBytes: number): Problem {
  if (error instanceof RequestFault) return problem(error.code, error.message, error.errors);
  // What the service itself suffers keeps its code; its inside stays in the log.
  if (error instanceof AppError) return error.code === 'INTERNAL' ? internal() : problem(error.code, error.message);
  if (isHttpFault(error)) {
    if (error.type === 'entity.too.large')
      return problem('BODY_TOO_LARGE', `the body is longer than ${maxBodyBytes} bytes`);
    if (error.type === 'entity.parse.failed')
      return problem('REQUEST_UNREADABLE', `the body is not JSON: ${withoutBody(error.message)}`);
    if (error.type === 'encoding.unsupported' || error.type === 'charset.unsupported')
      return problem('MEDIA_TYPE', error.message);
    if (error instanceof URIError)
      return problem(
        'REQUEST_UNREADABLE',
        'the path holds a % that no two hexadecimal digits of a UTF-8 character follow',
      );
    if (error.status >= 400 && error.status < 500) return problem('REQUEST_UNREADABLE', error.message);
  }
  return internal();
}

/** What the parser found wrong, without the piece of the body that it quotes: a password may stand there. */
function withoutBody(message: string): string {
  return message.replace(/, (?:\.\.\.)?"[\s\S]*"(?:\.\.\.)? is not valid JSON$/, '');
}

const internal = (): Problem => problem('INTERNAL', `${codes.INTERNAL.title}; the service's log says more`);

function isHttpFault(error: unknown): error is HttpFault {
  return error instanceof Error && 'status' in error && typeof error.status === 'number';
}
