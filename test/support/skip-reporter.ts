import type { Reporter, TestCase } from "vitest/node";

/** A test that did not run, and why, as far as its author said. */
interface Skip {
  readonly file: string;
  readonly name: string;
  readonly reason: string | undefined;
}

/**
 * Lists at the end of a run every test that was skipped, by name with its reason.
 *
 * @param options.skipsFail a skip makes the run fail. Meant for a machine that has everything the tests
 *   ask for, where a skip would hide a check. Leave it false when tests are picked by name (`-t`):
 *   the ones not picked count as skipped.
 * @param options.print where the lines go; standard output by default
 */
export function skipReporter(options: {
  readonly skipsFail: boolean;
  readonly print?: (line: string) => void;
}): Reporter {
  const print = options.print ?? ((line: string) => process.stdout.write(`${line}\n`));
  return {
    onTestRunEnd(modules) {
      const skips: Skip[] = [];
      for (const module of modules) {
        for (const test of module.children.allTests("skipped")) {
          skips.push({ file: module.relativeModuleId, name: test.fullName, reason: reasonOf(test) });
        }
      }
      if (skips.length === 0) return;
      print(`\nSkipped (${skips.length}):`);
      for (const skip of skips) {
        print(`  ${skip.file} > ${skip.name}${skip.reason === undefined ? "" : `: ${skip.reason}`}`);
      }
      if (options.skipsFail) {
        print("CANDLER_NO_SKIPS=1: a skipped test fails this run. Provide what the test needs.");
        process.exitCode = 1;
      }
    },
  };
}

function reasonOf(test: TestCase): string | undefined {
  const result = test.result();
  return result.state === "skipped" ? result.note : undefined;
}
