import type { Match } from "./truth.ts";

/** Pose against truth, up to how the reference part lies. */
export function comparePose(matches: readonly Match[]) {
  const placed = matches.flatMap(({ truth, found }) =>
    found?.assessable ? [{ truth, pose: found.pose }] : [],
  );
  const known = placed.filter(({ truth }) => truth.mirrored !== undefined);
  const clear = known.filter(({ pose }) => !pose.ambiguousWith.some((a) => a.mirrored !== pose.mirrored));
  const same = clear.filter(({ truth, pose }) => pose.mirrored === truth.mirrored);
  const other = clear.filter(({ truth, pose }) => pose.mirrored !== truth.mirrored);
  const disagree = (same.length >= other.length ? other : same).map(({ truth }) => truth.id);
  const upright = placed.filter(({ truth, pose }) => !truth.mirrored && !pose.mirrored);
  const wrap = (deg: number) => ((((deg + 180) % 360) + 360) % 360) - 180;
  const turns = upright.map(({ truth, pose }) => {
    const alternatives = pose.ambiguousWith.filter((a) => !a.mirrored).map((a) => a.turn);
    return { id: truth.id, off: [pose.turn, ...alternatives].map((t) => wrap(t - truth.rotation_deg)) };
  });
  // The lot's frame may lie at any turn: the one that most parts agree on.
  const agreeing = (base: number) => turns.filter((t) => t.off.some((d) => Math.abs(wrap(d - base)) <= 2));
  const base = turns.reduce((best, { off: [own] }) => {
    return agreeing(own as number).length > agreeing(best).length ? (own as number) : best;
  }, 0);
  const right = agreeing(base);
  const off = turns
    .filter((t) => !right.includes(t))
    .map((t) => `${t.id} by ${Math.round(wrap((t.off[0] as number) - base))}`);
  return { compared: clear.length, ambiguous: known.length - clear.length, disagree, turns, off };
}
