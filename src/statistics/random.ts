/** A seeded stream of random numbers. The same seed gives the same stream. */
export interface Random {
  /** 0 <= x < 1, 32 bits. */
  uniform(): number;
  /** Between two bounds. */
  between(low: number, high: number): number;
  /** Standard normal. */
  normal(): number;
  /** Whole number 0..count-1. */
  integer(count: number): number;
  /** A new order of 0..count-1. */
  order(count: number): number[];
  /** A stream of its own by label: drawing from it leaves this one untouched. */
  fork(label: string): Random;
}

/** FNV-1a over UTF-16 units, 32 bits. */
function hashText(text: string): number {
  let hash = 0x811c9dc5;
  for (let i = 0; i < text.length; i++) {
    hash ^= text.charCodeAt(i);
    hash = Math.imul(hash, 0x01000193);
  }
  return hash >>> 0;
}

/**
 * Random numbers from a seed: generator sfc32 (small fast counting, 128-bit state; C. Doty-Humphrey,
 * PractRand, from memory), started from a hash of the seed; normals by Marsaglia's polar method.
 */
export function seededRandom(seed: string | number): Random {
  const text = String(seed);
  let a = hashText(`a${text}`);
  let b = hashText(`b${text}`);
  let c = hashText(`c${text}`);
  let counter = 1;
  let spare: number | null = null;

  function next(): number {
    const t = (((a + b) | 0) + counter) | 0;
    counter = (counter + 1) | 0;
    a = b ^ (b >>> 9);
    b = (c + (c << 3)) | 0;
    c = (c << 21) | (c >>> 11);
    c = (c + t) | 0;
    return t >>> 0;
  }
  for (let i = 0; i < 16; i++) next();

  const random: Random = {
    uniform: () => next() / 4294967296,
    between: (low, high) => low + (high - low) * random.uniform(),
    normal: () => {
      if (spare !== null) {
        const value = spare;
        spare = null;
        return value;
      }
      for (;;) {
        const u = 2 * random.uniform() - 1;
        const v = 2 * random.uniform() - 1;
        const s = u * u + v * v;
        if (s >= 1 || s === 0) continue;
        const scale = Math.sqrt((-2 * Math.log(s)) / s);
        spare = v * scale;
        return u * scale;
      }
    },
    integer: (count) => Math.floor(random.uniform() * count),
    order: (count) => {
      const order = Array.from({ length: count }, (_, i) => i);
      for (let i = count - 1; i > 0; i--) {
        const j = random.integer(i + 1);
        const held = order[i];
        order[i] = order[j];
        order[j] = held;
      }
      return order;
    },
    fork: (label) => seededRandom(`${text}/${label}`),
  };
  return random;
}
