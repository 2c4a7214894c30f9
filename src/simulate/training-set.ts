import { encodeTiff } from "./encode-tiff.ts";
import { LotSpecError } from "./errors.ts";
import type { LotFile } from "./lot-files.ts";
import type { LotSpec } from "./lot-spec.ts";
import { planLot } from "./plan-lot.ts";
import { renderPicture } from "./render-picture.ts";
import type { LotTruth } from "./truth.ts";
import { lotTruth } from "./truth.ts";

/** Header of an answer sheet. */
export const answerColumns = ["part", "answer"] as const;

const instructions = `INVENTED parts, simulated pictures: a training set.

Which parts are unlike the rest of their lot? In answers.csv write for each part
  suspect   when it differs from the rest in what is inside it
  ok        when it does not; a part that only lies otherwise (turned, on its back, tilted, larger) is ok
Parts are counted in reading order in their picture: picture-02#3 is the third in picture-02. Parts cut by the
picture's edge are neither counted nor asked for.

The folder "answers" holds the truth: whoever trains gets this folder without it.
Marking: candler simulate --mark answers.csv --truth answers/truth.json
`;

/**
 * A lot for training people: pictures under names that say nothing, a sheet for the answers, and the truth in a
 * folder of its own.
 *
 * @param deflate zlib compressor, handed in; without it the pictures are not compressed
 * @throws LotSpecError for a lot whose odd parts are no minority: there is no rest to compare with
 */
export function* trainingFiles(
  spec: LotSpec,
  seed: number,
  deflate?: (bytes: Uint8Array) => Uint8Array,
): Generator<LotFile> {
  const plan = planLot(spec, seed);
  const truth = neutralTruth(lotTruth(plan));
  if (truth.expected.number_of_constructions > 1 && truth.expected.suspect_parts.length === 0) {
    throw new LotSpecError(
      "a lot for training",
      "one whose odd parts are a small minority of 8 parts or more",
      `${spec.name}, in which no construction is`,
    );
  }
  for (let index = 0; index < plan.pictures.length; index++) {
    const { samples, width, height, bits, minIsWhite } = renderPicture(plan, index);
    const description = "INVENTED part, simulated picture, for training.";
    yield {
      name: pictureName(index),
      bytes: encodeTiff(samples, width, height, bits, minIsWhite, deflate, description),
    };
  }
  const asked = truth.images.flatMap((image) => image.parts.filter((part) => !part.cut_by_edge));
  const rows = [answerColumns.join(","), ...asked.map((part) => `${part.id},`)];
  yield { name: "answers.csv", bytes: ascii(`${rows.join("\n")}\n`) };
  yield { name: "instructions.txt", bytes: ascii(instructions) };
  yield { name: "answers/truth.json", bytes: ascii(`${JSON.stringify(truth, null, 1)}\n`) };
}

function pictureName(index: number): string {
  return `picture-${String(index + 1).padStart(2, "0")}.tif`;
}

/** The truth with pictures and parts under the names of a training set. */
function neutralTruth(truth: LotTruth): LotTruth {
  const names = new Map<string, string>();
  const images = truth.images.map((image, index) => {
    const file = pictureName(index);
    let place = 0;
    const parts = image.parts.map((part) => {
      const id = `${file.replace(".tif", "")}#${part.cut_by_edge ? `cut-${part.index}` : ++place}`;
      names.set(part.id, id);
      return { ...part, id };
    });
    return { ...image, file, parts };
  });
  const renamed = (ids: readonly string[]) => ids.map((id) => names.get(id) ?? id);
  const { expected } = truth;
  return {
    ...truth,
    images,
    expected: {
      ...expected,
      suspect_parts: renamed(expected.suspect_parts),
      odd_placement_parts: renamed(expected.odd_placement_parts),
      cut_parts: renamed(expected.cut_parts),
      groups: Object.fromEntries(Object.entries(expected.groups).map(([g, ids]) => [g, renamed(ids)])),
    },
  };
}

function ascii(text: string): Uint8Array {
  return Uint8Array.from(text, (character) => character.charCodeAt(0));
}
