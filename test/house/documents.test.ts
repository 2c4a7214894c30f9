import { existsSync, readdirSync, readFileSync } from "node:fs";
import { dirname, join, resolve } from "node:path";
import { describe, expect, it } from "vitest";
import { projectRoot } from "../support/needs.ts";

const pages = [
  ...readdirSync(projectRoot).filter((name) => name.endsWith(".md")),
  ...readdirSync(join(projectRoot, "docs"), { recursive: true, encoding: "utf8" })
    .filter((name) => name.endsWith(".md"))
    .map((name) => join("docs", name)),
];

/** Link targets of a page that lie in this project, `#section` cut off. */
function localLinks(page: string): string[] {
  const text = readFileSync(join(projectRoot, page), "utf8").replaceAll(/^```.*?^```/gms, "");
  return [...text.matchAll(/\]\(([^)\s]+)\)/g)]
    .map((match) => (match[1] ?? "").replace(/#.*$/, ""))
    .filter((target) => target !== "" && !/^[a-z]+:/.test(target));
}

describe("the documents", () => {
  it.each(pages)("%s links only to what is there", (page) => {
    const broken = localLinks(page).filter(
      (target) => !existsSync(resolve(projectRoot, dirname(page), target)),
    );
    expect(broken).toEqual([]);
  });

  it("include the pages a newcomer is sent to", () => {
    expect(pages).toEqual(
      expect.arrayContaining([
        "README.md",
        "ARCHITECTURE.md",
        "CONTRIBUTING.md",
        "docs/errors.md",
        "docs/methods/README.md",
      ]),
    );
    expect(localLinks("README.md")).toEqual(expect.arrayContaining(["ARCHITECTURE.md", "CONTRIBUTING.md"]));
  });
});

describe("the list of methods", () => {
  it("names every page beside it", () => {
    const beside = readdirSync(join(projectRoot, "docs", "methods")).filter((name) => name !== "README.md");
    expect(localLinks("docs/methods/README.md").sort()).toEqual(beside.sort());
  });
});

describe("the README", () => {
  const readme = readFileSync(join(projectRoot, "README.md"), "utf8");
  const commands = [...readme.matchAll(/^```sh$(.*?)^```$/gms)]
    .flatMap((block) => (block[1] ?? "").split("\n"))
    .filter((line) => line.startsWith("npm ci"));

  it("states the job in a paragraph before anything else", () => {
    const [title, job = ""] = readme.split("\n\n");
    expect(title).toBe("# Candler");
    expect(job).toMatch(/^Candler judges electronics by X-ray/);
    expect(job.length).toBeGreaterThan(200);
  });

  it("gives a fresh machine two commands, the demo and the tests, each set up by itself", () => {
    expect(commands).toEqual(["npm ci && npm run demo", "npm ci && npm test"]);
  });
});
