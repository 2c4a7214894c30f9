/** A usual caution: what it is about, and one or two sentences. */
export interface Caution {
  readonly about: string;
  readonly says: string;
}

/** What is inspected, as far as cautions differ. */
export type CautionSubject = "parts" | "device";

const forAll: readonly Caution[] = [
  {
    about: "Ionising radiation",
    says: "X-ray equipment is run by authorised people under the local radiation protection rules and the licence of the site. Interlocks and shielding are never bypassed.",
  },
  {
    about: "Dose to the part",
    says: "Memory and other sensitive parts can be changed by exposure. Keep a log of kV, µA, filter, distance and time for each part over all sessions, and ask the maker for a limit.",
  },
  {
    about: "Static charge",
    says: "Handle parts by the site's ESD control programme; a part damaged in handling is not evidence about its source.",
  },
  {
    about: "Lead and fine particles",
    says: "Solder and some finishes hold lead. Wash hands, keep food away and dispose of waste by local rules.",
  },
  {
    about: "Quarantine, return and reporting",
    says: "Suspect parts are held apart with access control. Whether they may be returned, must be reported or kept for an authority is a matter of contract and local law: ask those responsible before moving them.",
  },
];

const lithiumCells: Caution = {
  about: "Lithium cells",
  says: "A swollen, punctured or deformed cell is a fire hazard: stop, do not press, charge or ship it, and follow the site's procedure for damaged cells.",
};

/** The usual cautions of a report. They defer to local codes and licensed practice and replace neither. */
export function cautionsFor(subject: CautionSubject): readonly Caution[] {
  return subject === "device" ? [forAll[0], lithiumCells, ...forAll.slice(1)] : forAll;
}

/** What a radiograph can and cannot show about where a part comes from. */
export const limitOfRadiograph =
  "A radiograph alone never proves a part authentic: it shows construction, not origin, marking, die type or function. " +
  "A suspicion raised here is confirmed or dismissed by other methods (marking and surface, finish, opening the package, electrical test) and by the maker.";
