import { z } from 'zod';

/** What a file is called on the machine that sends it. */
export const FileName = z
  .string()
  .min(1)
  .max(200)
  .regex(/^[^/\\\p{C}]+$/u, 'expected a file name without a folder');
