/** Root of a member's set, with the way to it shortened. */
export function rootOf(parent: Int32Array, run: number): number {
  let root = run;
  while (parent[root] !== root) root = parent[root];
  while (parent[run] !== root) {
    const next = parent[run];
    parent[run] = root;
    run = next;
  }
  return root;
}

/** Joins two sets; the earlier root stays one. */
export function join(parent: Int32Array, p: number, q: number): void {
  const first = rootOf(parent, p);
  const second = rootOf(parent, q);
  if (first < second) parent[second] = first;
  else parent[first] = second;
}
