import { type WasmFunction, wasmModule } from './wasm-code.ts';

/** What is used here of WebAssembly, which the types of Node leave out. */
declare const WebAssembly: {
  readonly Memory: new (size: { initial: number; maximum: number }) => { readonly buffer: ArrayBuffer };
  readonly Module: new (bytes: Uint8Array) => object;
  readonly Instance: new (module: object, imports: object) => { readonly exports: object };
  validate(bytes: Uint8Array): boolean;
};

/**
 * Functions over a memory of their own; null on a machine that cannot take numbers in pairs.
 *
 * @param pages of 64 KiB
 */
export function wasmKernels<Kernels extends { readonly memory: ArrayBuffer }>(
  functions: readonly WasmFunction[],
  pages: number,
): Kernels | null {
  const bytes = wasmModule(functions);
  if (!WebAssembly.validate(bytes)) return null;
  const memory = new WebAssembly.Memory({ initial: pages, maximum: pages });
  const { exports } = new WebAssembly.Instance(new WebAssembly.Module(bytes), { room: { memory } });
  return { memory: memory.buffer, ...exports } as Kernels;
}
