/** What is to be said of a lot that was inspected in portions; nothing of one that was inspected in one go. */
export function portionsSay(portions: readonly { readonly parts: number }[]): string[] {
  if (portions.length < 2) return [];
  const sizes = portions.map(({ parts }) => parts);
  const range =
    Math.min(...sizes) === Math.max(...sizes)
      ? `${sizes[0]} parts`
      : `${Math.min(...sizes)} to ${Math.max(...sizes)} parts`;
  return [
    `The lot is too large for every part to be compared with every other at once: it was inspected in ${portions.length} portions of ${range}, its pictures in their order. Within a portion each part was compared with every other; typical parts of every construction found were compared with each group of the later portions, which holds the portions together. A difference as small as the limits given may go unseen where all parts that have it lie in one portion by themselves.`,
  ];
}
