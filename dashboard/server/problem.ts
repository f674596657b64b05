import { z } from 'zod';
import { AppError, type Code, codes } from '../../collector/contract/index.ts';
import { describeIssue, singleIssues } from '../../collector/index.ts';

/** One fault inside a body or query. */
const Fault = z.strictObject({
  pointer: z
    .string()
    .optional()
    .meta({ description: 'JSON pointer into the body, as a URI fragment', example: '#/gun' }),
  parameter: z.string().optional().meta({ description: 'Name of the query parameter' }),
  detail: z.string(),
});

/** Answer to every request that failed: RFC 9457, `application/problem+json`. */
export const Problem = z
  .strictObject({
    type: z.string().meta({ description: 'Address of the description of this kind of problem' }),
    title: z.string(),
    status: z.number().int(),
    detail: z.string().meta({ description: 'What was wrong, where, and what was expected' }),
    code: z.string().meta({ description: 'Stable name of the fault' }),
    errors: z.array(Fault).optional(),
  })
  .meta({ id: 'Problem' });
export type Problem = z.infer<typeof Problem>;

/** A fault of a request that names several places at once. */
export class RequestFault extends AppError {
  readonly errors: NonNullable<Problem['errors']>;

  constructor(code: Code, message: string, errors: NonNullable<Problem['errors']>, options?: ErrorOptions) {
    super(code, message, options);
    this.name = 'RequestFault';
    this.errors = errors;
  }
}

/** Source: own choice, because a whole sentence with a value in it fits. */
const MAX_DETAIL = 600;

/** Text from outside made safe to hand on: control characters become spaces, and it is cut at 600 characters. */
export function plainText(text: string): string {
  // biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what it looks for
  const flat = text.replace(/[\u0000-\u001f\u007f-\u009f\u2028\u2029]+/g, ' ');
  return flat.length > MAX_DETAIL ? `${flat.slice(0, MAX_DETAIL - 1)}…` : flat;
}

/** The problem that a fault becomes. */
export function problem(code: Code, detail: string, errors?: Problem['errors']): Problem {
  const { http, title } = codes[code];
  const base = { type: `/api/problems#${code}`, title, status: http, detail: plainText(detail), code };
  return errors ? { ...base, errors: errors.map((fault) => ({ ...fault, detail: plainText(fault.detail) })) } : base;
}

/**
 * What a schema found wrong, as faults with their place: `pointer` for bodies, `parameter` for queries.
 *
 * @param value body or query as it came
 */
export function faults(
  error: z.ZodError,
  place: 'pointer' | 'parameter',
  value: unknown,
  schema: z.ZodType,
): NonNullable<Problem['errors']> {
  return singleIssues(error.issues).map((issue) => {
    const { path, found, wanted } = describeIssue(issue, value, schema, place === 'pointer' ? 'field' : 'parameter');
    const detail = `found ${found}, expected ${wanted}`;
    if (place === 'parameter') return { parameter: plainText(String(path[0] ?? '')), detail };
    const steps = path.map((step) => `/${plainText(String(step)).replaceAll('~', '~0').replaceAll('/', '~1')}`);
    return { pointer: `#${steps.join('')}`, detail };
  });
}
