import { spawnSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { expect, it } from "vitest";
import { describeNeeding, needsProgram, projectRoot } from "../support/needs.ts";

const script = join(projectRoot, ".ci", "run");

function bash(...args: string[]) {
  return spawnSync("bash", args, { cwd: projectRoot, encoding: "utf8" });
}

describeNeeding([needsProgram("bash"), needsProgram("sed")], ".ci/run", () => {
  it("is a script that bash can read", () => {
    const { status, stderr } = bash("-n", script);
    expect({ status, stderr }).toEqual({ status: 0, stderr: "" });
  });

  it("takes the two commands out of the README", () => {
    const reader = /^readme_command\(\) \{.*?^\}/ms.exec(readFileSync(script, "utf8"))?.[0];
    expect(reader).toBeDefined();
    const commands = bash("-c", `${reader}; readme_command 1; readme_command 2; readme_command 3`);
    expect(commands.stdout).toBe("npm ci && npm run demo\nnpm ci && npm test\n");
  });
});
