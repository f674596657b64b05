/** Where the running parts say what happened; pino's loggers fit. Never given secrets or payloads. */
export interface Log {
  info(fields: object, message: string): void;
  warn(fields: object, message: string): void;
  error(fields: object, message: string): void;
}

/** A log that keeps nothing, for tests and one-off commands that report by other means. */
export const silentLog: Log = { info: () => undefined, warn: () => undefined, error: () => undefined };
