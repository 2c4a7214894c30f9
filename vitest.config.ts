import { defineConfig } from "vitest/config";
import { skipReporter } from "./test/support/skip-reporter.ts";

/** Where to write the results as JSON as well; `.ci/run` counts from it. */
const jsonFile = process.env.CANDLER_TEST_JSON;

export default defineConfig({
  test: {
    include: ["src/**/*.test.ts", "test/**/*.test.ts"],
    globalSetup: ["test/support/build-command.ts"],
    pool: "threads",
    maxWorkers: 2,
    testTimeout: 60_000,
    hookTimeout: 60_000,
    reporters: [
      "default",
      skipReporter({ skipsFail: process.env.CANDLER_NO_SKIPS === "1" }),
      ...(jsonFile ? [["json", { outputFile: jsonFile }] as ["json", { outputFile: string }]] : []),
    ],
  },
});
