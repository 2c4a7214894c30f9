import type { Codecs } from "./codecs.ts";
import type { Limits } from "./limits.ts";

/** What a reader is handed beside the bytes. */
export interface ReadOptions {
  readonly codecs: Codecs;
  readonly limits: Limits;
  /** Page wanted, from 0; without it the first full picture of the file. */
  readonly page?: number;
}
