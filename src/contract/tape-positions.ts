/** A part as it is counted along a tape. */
interface TapedPart {
  readonly id: string;
  readonly picture: string;
}

/** Pockets counted along a tape. */
export interface TapePositions {
  readonly positions: ReadonlyMap<string, string>;
  /** How it was counted, one sentence. */
  readonly says: string;
}

/**
 * Numbers the pockets of a tape from the order of pictures and, in a picture, of parts (reading order).
 *
 * Where no picture shows more than one part, each picture is a pocket, those without a part too. Else only parts are
 * counted: an empty pocket among several in a picture cannot be told from a gap.
 *
 * @param start number of the first picture's first pocket
 * @param pictures in the order in which they were taken, all of them
 */
export function tapePositions(
  start: number,
  pictures: readonly string[],
  parts: readonly TapedPart[],
): TapePositions {
  const byPicture = new Map<string, string[]>();
  for (const { id, picture } of parts) byPicture.set(picture, [...(byPicture.get(picture) ?? []), id]);
  const single = [...byPicture.values()].every((ids) => ids.length === 1);
  const positions = new Map<string, string>();
  let next = start;
  for (const picture of pictures) {
    const ids = byPicture.get(picture) ?? [];
    for (const id of ids) positions.set(id, String(next++));
    if (single && ids.length === 0) next++;
  }
  const says = single
    ? `Positions were counted: picture by picture from ${start}, one pocket a picture, pictures without a part included.`
    : `Positions were counted: from ${start}, picture by picture and in reading order in each; pockets in which no part was found are not counted.`;
  return { positions, says };
}
