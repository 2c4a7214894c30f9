import { expect, it } from "vitest";
import { createProgress } from "./progress.ts";

function progressAt(isTerminal: boolean) {
  const written: string[] = [];
  const clock = { millis: 0 };
  const progress = createProgress({
    write: (text) => written.push(text),
    isTerminal,
    columns: 30,
    nowMillis: () => clock.millis,
  });
  return { written, clock, progress };
}

it("moves one line on a terminal, ten times a second at most", () => {
  const { written, clock, progress } = progressAt(true);
  for (let done = 1; done <= 40; done++) {
    clock.millis = done * 20;
    progress.step("measuring", done, 40);
  }
  progress.end();
  expect(written.length).toBeLessThan(11);
  expect(written[0]).toBe("\r\x1b[2Kmeasuring 1 of 40, 0.0 s");
  expect(written.at(-2)).toBe("\r\x1b[2Kmeasuring 40 of 40, 0.8 s");
  expect(written.at(-1)).toBe("\r\x1b[2K");
});

it("writes few plain lines to a log, and none for quick work", () => {
  const { written, clock, progress } = progressAt(false);
  progress.step("reading", 1, 1);
  expect(written).toEqual([]);
  for (let done = 1; done <= 12; done++) {
    clock.millis = done * 1000;
    progress.step("measuring", done, 12);
  }
  progress.note("half.tif could not be read");
  expect(written.slice(0, 2)).toEqual(["measuring 6 of 12, 5.0 s\n", "measuring 11 of 12, 10.0 s\n"]);
  expect(written.slice(2)).toEqual(["measuring 12 of 12, 11.0 s\n", "half.tif could not be read\n"]);
});
