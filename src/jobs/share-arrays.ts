type TypedArray = Float32Array | Float64Array | Uint8Array | Uint16Array | Int32Array | Uint32Array;

/** Shorter arrays are as quickly copied with the message. */
const leastSharedBytes = 4096;

/**
 * Makes a function that returns plain data with its large typed arrays in shared memory: sending it to another
 * thread then copies no pixels. Arrays that are shared already stay, and one array met twice is copied once.
 */
export function createSharer(): <T>(value: T) => T {
  const known = new WeakMap<object, unknown>();
  const share = (value: unknown): unknown => {
    if (typeof value !== "object" || value === null) return value;
    const before = known.get(value);
    if (before !== undefined) return before;
    const shared = sharedForm(value, share);
    known.set(value, shared);
    return shared;
  };
  return share as <T>(value: T) => T;
}

function sharedForm(value: object, share: (value: unknown) => unknown): unknown {
  if (ArrayBuffer.isView(value)) return inSharedMemory(value as TypedArray);
  if (Array.isArray(value)) return value.map(share);
  if (Object.getPrototypeOf(value) !== Object.prototype) return value;
  return Object.fromEntries(Object.entries(value).map(([key, field]) => [key, share(field)]));
}

function inSharedMemory(array: TypedArray): TypedArray {
  if (array.buffer instanceof SharedArrayBuffer || array.byteLength < leastSharedBytes) return array;
  const Kind = array.constructor as new (buffer: SharedArrayBuffer) => TypedArray;
  const shared = new Kind(new SharedArrayBuffer(array.byteLength));
  shared.set(array);
  return shared;
}
