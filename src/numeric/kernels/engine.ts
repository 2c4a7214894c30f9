import { bytesOfBase64 } from "./base64.ts";
import { KERNEL_MODULE_BASE64 } from "./module.generated.ts";

/** What the compiled module offers; see ./assembly for the meaning of each. Pointers are byte offsets. */
export interface KernelExports {
  readonly memory: { readonly buffer: ArrayBuffer; grow(pages: number): number };
  logRatioBand(signal: number, dark: number, reference: number, count: number, floor: number): void;
  gaussianBand(
    src: number,
    filtered: number,
    line: number,
    dst: number,
    width: number,
    rows: number,
    taps: number,
    radius: number,
  ): void;
  boxBand(
    src: number,
    columns: number,
    columnSquares: number,
    runs: number,
    runSquares: number,
    mean: number,
    variance: number,
    width: number,
    rows: number,
    radius: number,
    first: number,
    offset: number,
  ): void;
  reduceRow(src: number, line: number, dst: number, width: number, cellRows: number, factor: number): void;
  warpBand(
    src: number,
    width: number,
    height: number,
    dst: number,
    outWidth: number,
    y0: number,
    rows: number,
    a: number,
    b: number,
    c: number,
    d: number,
    e: number,
    f: number,
    fill: number,
  ): void;
  extremeBand(
    src: number,
    dst: number,
    width: number,
    rows: number,
    radius: number,
    halfWidths: number,
    distinct: number,
    widthOfRow: number,
    pointers: number,
    windows: number,
    ring: number,
    ringRows: number,
    mode: number,
  ): void;
  medianBand(src: number, dst: number, width: number, rows: number, lines: number, lineBytes: number): void;
  fourierColumns(
    re: number,
    im: number,
    n: number,
    width: number,
    reversed: number,
    twiddles: number,
    sign: number,
    scale: number,
    strip: number,
  ): void;
  differenceLine(first: number, second: number, into: number, count: number, absolute: number): void;
  accumulateLine(sum: number, values: number, count: number, weight: number): void;
  stackBand(
    src: number,
    length: number,
    count: number,
    values: number,
    pairs: number,
    steps: number,
    lower: number,
    upper: number,
    share: number,
    dst: number,
  ): void;
  fourierRows(
    re: number,
    im: number,
    n: number,
    height: number,
    reversed: number,
    twiddles: number,
    sign: number,
    scale: number,
    strip: number,
  ): void;
}

const PAGE_BYTES = 65536;
/** Spare bytes after every buffer, because kernels step by 16 values. */
const SPARE_BYTES = 128;

/**
 * The kernel module with its memory. Operations lay out their buffers from the start of memory, work, and copy the
 * result out; nothing is kept between calls.
 */
export class KernelEngine {
  readonly run: KernelExports;

  constructor(run: KernelExports) {
    this.run = run;
  }

  /**
   * Places buffers of the given byte lengths one after another and grows the memory to hold them.
   *
   * @returns byte offset of each, a multiple of 64
   */
  layout(...byteLengths: readonly number[]): number[] {
    let at = PAGE_BYTES;
    const offsets = byteLengths.map((length) => {
      const offset = at;
      at = (at + length + SPARE_BYTES + 63) & ~63;
      return offset;
    });
    const missing = at - this.run.memory.buffer.byteLength;
    if (missing > 0) this.run.memory.grow(Math.ceil(missing / PAGE_BYTES));
    return offsets;
  }

  /** View of `length` 32-bit numbers at a byte offset, good until the next `layout`. */
  floats(offset: number, length: number): Float32Array {
    return new Float32Array(this.run.memory.buffer, offset, length);
  }

  /** View of `length` bytes at a byte offset, good until the next `layout`. */
  bytes(offset: number, length: number): Uint8Array {
    return new Uint8Array(this.run.memory.buffer, offset, length);
  }

  /** View of `length` 32-bit integers at a byte offset, good until the next `layout`. */
  integers(offset: number, length: number): Int32Array {
    return new Int32Array(this.run.memory.buffer, offset, length);
  }
}

/** The part of the WebAssembly interface used here: the core's compiler settings know no host. */
interface WebAssemblyHost {
  readonly Module: new (bytes: Uint8Array<ArrayBuffer>) => object;
  readonly Instance: new (module: object, imports: object) => { readonly exports: object };
}

let engine: KernelEngine | null | undefined;

/**
 * The engine, started on first use; null where the host has no WebAssembly with SIMD, or refuses to compile it there
 * and then (a page's main thread). Callers then use the plain version of the operation.
 */
export function kernelEngine(): KernelEngine | null {
  if (engine === undefined) {
    const host = (globalThis as { WebAssembly?: WebAssemblyHost }).WebAssembly;
    try {
      engine = host === undefined ? null : startEngine(host);
    } catch {
      engine = null;
    }
  }
  return engine;
}

function startEngine(host: WebAssemblyHost): KernelEngine {
  const module = new host.Module(bytesOfBase64(KERNEL_MODULE_BASE64));
  const abort = () => {
    throw new Error("A kernel stopped: report the picture and the command that led here.");
  };
  const { exports } = new host.Instance(module, { env: { abort } });
  return new KernelEngine(exports as KernelExports);
}
