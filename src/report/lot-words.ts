import type { LotDocument } from "../contract/lot-document.ts";

type CallKind = LotDocument["parts"][number]["calls"][number]["kind"];

/** A call's kind in words. */
export function callKindText(kind: CallKind): string {
  const texts: Record<CallKind, string> = {
    "absent-die": "no die",
    die: "die",
    "lead-frame": "lead frame",
    "wire-absent": "wire absent",
    "wire-broken": "wire broken",
    "wire-elsewhere": "wire elsewhere",
    foreign: "foreign matter",
    "prior-use": "sign of prior use",
    other: "other difference",
  };
  return texts[kind];
}
