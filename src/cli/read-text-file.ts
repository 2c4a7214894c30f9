import { createHash } from "node:crypto";
import { readFileSync, statSync } from "node:fs";
import { UsageError } from "./errors.ts";

const mostBytes = 64 << 20;

/**
 * A text file that a person names: UTF-8, without its byte order mark.
 *
 * @param what it is to hold, for messages
 * @throws UsageError when it is not there, far too large, or no UTF-8 text
 */
export function readTextFile(path: string, what: string): string {
  const stat = statSync(path, { throwIfNoEntry: false });
  if (!stat?.isFile()) throw new UsageError(`Expected ${what} in "${path}", and there is no such file.`);
  if (stat.size > mostBytes)
    throw new UsageError(
      `Expected ${what} in "${path}" of at most ${mostBytes >> 20} MiB, and it has ${Math.ceil(stat.size / 2 ** 20)}. Is it the right file?`,
    );
  const bytes = readFileSync(path);
  try {
    const text = new TextDecoder("utf-8", { fatal: true }).decode(bytes);
    if (!text.includes("\0")) return text;
  } catch {
    // Said below: what matters is that it is no text.
  }
  throw new UsageError(
    `Expected ${what} as UTF-8 text in "${path}", and it is none. Save it as text (CSV UTF-8, JSON) and name that.`,
  );
}

/** SHA-256 of a file's bytes, as in documents. */
export function fileSha256(path: string): string {
  return createHash("sha256").update(readFileSync(path)).digest("hex");
}
