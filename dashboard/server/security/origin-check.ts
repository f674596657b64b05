import type { RequestHandler } from 'express';
import { AppError } from '../../../collector/contract/index.ts';
import { plainText } from '../problem.ts';

/**
 * Refuses changes that another web page asks a browser for. Browsers name the page's origin in `Origin` and its
 * relation in `Sec-Fetch-Site` (W3C Fetch Metadata); programs such as curl send neither and are let through.
 */
export const originCheck: RequestHandler = (request, _response, next) => {
  if (request.method === 'GET' || request.method === 'HEAD' || request.method === 'OPTIONS') return next();
  const { origin, host } = request.headers;
  const site = request.headers['sec-fetch-site'];
  if (origin !== undefined && origin !== `${request.protocol}://${host}`)
    throw new AppError('ORIGIN_REFUSED', `a page of "${plainText(origin)}" may not change anything here`);
  if (site !== undefined && site !== 'same-origin' && site !== 'none')
    throw new AppError('ORIGIN_REFUSED', `a ${plainText(String(site))} request may not change anything here`);
  next();
};
