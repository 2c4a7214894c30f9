/** At most `count` of the items, evenly over them. */
export function evenly<T>(items: readonly T[], count: number): T[] {
  if (items.length <= count) return [...items];
  return Array.from({ length: count }, (_, k) => items[Math.floor((k * items.length) / count)] as T);
}
