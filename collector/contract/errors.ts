/** Every fault that driftline reports, with the exit status and HTTP status that it becomes. */
export const codes = {
  USAGE: { exit: 2, http: 400, title: 'The arguments are not valid' },
  PLANT_INVALID: { exit: 2, http: 500, title: 'The plant file is not valid' },
  SETTINGS_INVALID: { exit: 2, http: 422, title: 'The settings are not valid' },
  CONFIG_INVALID: { exit: 2, http: 500, title: 'The configuration is not valid' },
  READINGS_UNUSABLE: { exit: 2, http: 422, title: 'The readings cannot be used' },
  LOG_UNUSABLE: { exit: 2, http: 422, title: 'The maintenance log cannot be used' },
  ACCOUNT_INVALID: { exit: 2, http: 422, title: 'The account is not valid' },
  STUDY_UNUSABLE: { exit: 2, http: 422, title: 'The study cannot be used' },
  BODY_INVALID: { exit: 2, http: 422, title: 'The request is not valid' },
  NOT_FOUND: { exit: 2, http: 404, title: 'Not found' },
  REQUEST_UNREADABLE: { exit: 2, http: 400, title: 'The request cannot be read' },
  QUERY_INVALID: { exit: 2, http: 400, title: 'The query is not valid' },
  SIGN_IN_NEEDED: { exit: 2, http: 401, title: 'Nobody is signed in' },
  SIGN_IN_REFUSED: { exit: 2, http: 401, title: 'Signing in was refused' },
  ROLE_TOO_LOW: { exit: 2, http: 403, title: 'This role may not do that' },
  ORIGIN_REFUSED: { exit: 2, http: 403, title: 'The request comes from another site' },
  METHOD_UNKNOWN: { exit: 2, http: 405, title: 'This address does not take that method' },
  LOGGED_ALREADY: { exit: 2, http: 409, title: 'This is in the log already' },
  EDITED_MEANWHILE: { exit: 2, http: 409, title: 'Somebody else changed it first' },
  STOCK_SHORT: { exit: 2, http: 409, title: 'There are not so many on the shelf' },
  KEY_REUSED: { exit: 2, http: 409, title: 'The idempotency key was used for something else' },
  BODY_TOO_LARGE: { exit: 2, http: 413, title: 'The request is too large' },
  MEDIA_TYPE: { exit: 2, http: 415, title: 'The body is not of the expected kind' },
  HOST_REFUSED: { exit: 2, http: 421, title: 'The request is meant for another host' },
  BOUND_BROKEN: { exit: 3, http: 500, title: 'A stated bound is broken' },
  TOO_MANY: { exit: 1, http: 429, title: 'Too many requests' },
  NOT_READY: { exit: 1, http: 503, title: 'Not ready' },
  STORE_UNUSABLE: { exit: 1, http: 503, title: 'The data folder cannot be used' },
  STORE_LOCKED: { exit: 1, http: 503, title: 'Another program keeps the data folder locked' },
  READINGS_DAMAGED: { exit: 1, http: 500, title: 'Readings are damaged' },
  DISK_FULL: { exit: 1, http: 507, title: 'The disk is full' },
  PORT_UNUSABLE: { exit: 1, http: 500, title: 'The port cannot be used' },
  INTERNAL: { exit: 1, http: 500, title: 'A fault of our own' },
} as const;

export type Code = keyof typeof codes;

/** A fault with a stable code and a message for people: what was wrong, where, what was expected. */
export class AppError extends Error {
  readonly code: Code;

  constructor(code: Code, message: string, options?: ErrorOptions) {
    super(message, options);
    this.name = 'AppError';
    this.code = code;
  }
}
