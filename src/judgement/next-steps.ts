import { counted } from "./in-words.ts";
import type { ComparedFacts, LotConclusion } from "./lot-wording.ts";

/** What the next steps depend on. */
export interface NextStepFacts {
  readonly conclusion: LotConclusion;
  readonly suspects: number;
  readonly lotSuspect: boolean;
  /** Parts found. */
  readonly found: number;
  readonly judged: number;
  /** Parts in the whole lot; null when not given. */
  readonly quantity: number | null;
  /** Pictures left out because the inspection was stopped. */
  readonly notInspected: number;
  /** Whether the result waits for the maker's answer. */
  readonly conditional: boolean;
  readonly compared: readonly ComparedFacts[];
}

const smallLot = 8;

/** What would be done next, each a sentence to be agreed with the requester; none is ordered here. */
export function nextSteps(facts: NextStepFacts): string[] {
  const { quantity, judged, notInspected } = facts;
  const objected = facts.suspects > 0 || facts.lotSuspect || facts.conclusion === "mixed";
  const steps: string[] = [];
  if (notInspected > 0)
    steps.push(
      `Tell the requester of the first suspect. The ${notInspected === 1 ? "one picture" : `${notInspected} pictures`} not yet inspected are inspected after a recorded order to go on (--resume).`,
    );
  if (objected && (quantity === null || quantity > judged))
    steps.push(
      quantity === null
        ? "Offer to inspect 100 % of the lot by X-ray: what a sample shows, the parts that were not looked at may hold too."
        : `Offer to inspect 100 % of the lot by X-ray: ${quantity - judged} of ${quantity} parts have not been judged.`,
    );
  if (objected)
    steps.push(
      "Take the parts to be opened or tested by other methods from each group and from the suspects, not at random; whether parts may be destroyed is for the contract (common practice).",
    );
  if (facts.conditional)
    steps.push(
      "Send the questions for the maker below; until the answer has come the result is conditional.",
    );
  if (wiresNotAssessable(facts.compared))
    steps.push(
      "Bond wires cannot be assessed by this technique (thin aluminium, for one, hardly shows in a radiograph); a wire not seen is no finding here. Where the contract asks for them: acoustic microscopy for the attach and delamination, electrical continuity of the pins, or opening a few parts if they may be destroyed (common practice).",
    );
  if (facts.found > 0 && facts.found < smallLot)
    steps.push(
      `With ${counted(facts.found, "part")} nothing is inferred about a lot: X-ray every part there is, by methods that do not destroy unless that is permitted (common practice).`,
    );
  return steps;
}

function wiresNotAssessable(compared: readonly ComparedFacts[]): boolean {
  const wires = compared.filter(({ characteristic }) => characteristic.startsWith("wiresSeen"));
  return wires.length > 0 && wires.every(({ assessable }) => !assessable);
}
