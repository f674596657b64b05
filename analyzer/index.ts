export * from './site.ts';
export * from './views.ts';
