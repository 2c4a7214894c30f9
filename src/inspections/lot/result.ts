import type { AffineMap } from "../../align/similarity.ts";
import type { BoxPx, Image, PointPx } from "../../numeric/image.ts";
import type { Measured } from "../../units/measured.ts";
import type { WireState } from "../wires/wire-state.ts";

/** Characteristics measured on every part. Lengths in px, or mm when the picture has a scale. */
export type LotMeasurement =
  | "bodyLength"
  | "bodyWidth"
  | "padLength"
  | "padWidth"
  | "dieLength"
  | "dieWidth"
  | "dieOffsetX"
  | "dieOffsetY"
  | "dieTurn"
  | "leads"
  | "leadPitch"
  | "frameAttenuation"
  | "dieAttenuation"
  | "wiresSeen";

export type LotMeasurements = Readonly<Record<LotMeasurement, Measured>>;

export type LotCallKind =
  | "absent-die"
  | "die"
  | "lead-frame"
  | "wire-absent"
  | "wire-broken"
  | "wire-elsewhere"
  | "foreign"
  | "prior-use"
  | "other";

/** One thing the analysis points at in one part. */
export interface LotCall {
  readonly kind: LotCallKind;
  /** In the original picture. */
  readonly boxPx: BoxPx;
  /** One sentence for the inspector. */
  readonly says: string;
}

/** A bond wire of one part, ends in its picture. */
export interface LotWire {
  /** Inner lead end it starts from, counted clockwise from the top left of the aligned body; not a pin number. */
  readonly lead: number;
  readonly state: WireState;
  readonly fromPx: PointPx;
  /** On the die's edge, or where it should be there when it is not seen. */
  readonly toPx: PointPx;
  /** Of such a wire along its course in this part. */
  readonly contrastToNoise: number;
}

/** An inner lead end of one part, in its picture. */
export interface LotLeadEnd {
  /** Counted as the wires' leads are; not a pin number. */
  readonly lead: number;
  readonly tipPx: PointPx;
  /** Whether its metal runs on into the die pad; null where that cannot be seen. */
  readonly fusedToPad: boolean | null;
}

/** How a part lies relative to the lot's reference part. */
export interface LotPose {
  /** Degrees, clockwise on screen, in (-180, 180]. */
  readonly turn: number;
  readonly mirrored: boolean;
  /** Other turns (degrees) that fit as well, because the part is symmetric as far as can be seen. */
  readonly ambiguousWith: readonly { readonly turn: number; readonly mirrored: boolean }[];
}

export interface LotPart {
  /** `<picture>` when it is alone in its picture, else `<picture>#<n>` in reading order. */
  readonly id: string;
  readonly picture: string;
  /** Body corners in the original picture, in order around the body, starting at the one that lies top-left in the reference part. */
  readonly cornersPx: readonly [PointPx, PointPx, PointPx, PointPx];
  /** Group name, or null when the part could not be compared. */
  readonly group: string | null;
  readonly suspect: boolean;
  readonly assessable: boolean;
  /** Why not, when not assessable. */
  readonly because: string | null;
  readonly pose: LotPose;
  /** Size relative to the reference part (1 = equal). */
  readonly relativeScale: number;
  readonly measurements: LotMeasurements;
  /** The wires that its group has, and others that it shows; none where they are not compared. */
  readonly wires: readonly LotWire[];
  /** Inner ends of the leads that its group's average shows; none where they are not told. */
  readonly leadEnds: readonly LotLeadEnd[];
  readonly calls: readonly LotCall[];
  /** How unlike its group it is: 1 is the limit at which a call is made. Orders the contact sheet. */
  readonly oddness: number;
}

/** One thing that separates two constructions. */
export interface LotReason {
  readonly measurement: string;
  readonly by: Measured;
}

/** Whether a split is seen again in structures that were not used to find it. */
export interface HeldOutTest {
  /** Chance of so large a separation if the groups were one, adjusted for everything tested; null when not tested. */
  readonly p: number | null;
  /** Structures it was tested on. */
  readonly on: readonly string[];
  /** One sentence. */
  readonly says: string;
}

export interface LotGroup {
  /** "A" is the largest. */
  readonly name: string;
  readonly size: number;
  /** Part ids. */
  readonly parts: readonly string[];
  readonly againstExemplar: ExemplarVerdict | "no-exemplar";
  readonly differsFrom: readonly {
    readonly group: string;
    readonly because: readonly LotReason[];
    readonly heldOut: HeldOutTest;
  }[];
}

export type ExemplarVerdict = "agrees" | "differs" | "not-comparable";

/** A part of known origin and how the lot's groups lie to it. */
export interface LotExemplar {
  readonly id: string;
  readonly picture: string;
  /** Body corners in its picture, in the order of a part's. */
  readonly cornersPx: LotPart["cornersPx"];
  readonly assessable: boolean;
  /** Why not, when not assessable. */
  readonly because: string | null;
  readonly pose: LotPose;
  readonly relativeScale: number;
  readonly measurements: LotMeasurements;
  readonly against: readonly {
    readonly group: string;
    readonly verdict: ExemplarVerdict;
    /** All its parts are known to carry another date or lot code than the exemplar. */
    readonly otherCode: boolean;
    /** Group less exemplar, the weightiest first. */
    readonly because: readonly LotReason[];
    readonly compared: readonly LotCompared[];
    /** One sentence. */
    readonly says: string;
  }[];
}

/** An exemplar before its verdicts are put in words. */
export type ExemplarFindings = Omit<LotExemplar, "against"> & {
  readonly against: readonly (Omit<LotExemplar["against"][number], "says"> & {
    /** The largest difference in units of the least that counts. */
    readonly times?: number;
  })[];
};

/** What was looked at, and how small a difference could have been found. */
export interface LotCompared {
  readonly characteristic: string;
  readonly assessable: boolean;
  /** Why not assessable, or what was compared with what. */
  readonly because: string;
  readonly smallestDetectable: Measured;
}

export interface LotResult {
  readonly method: { readonly id: "lot"; readonly version: string };
  readonly parts: readonly LotPart[];
  readonly groups: readonly LotGroup[];
  readonly exemplars: readonly LotExemplar[];
  /** Part ids. */
  readonly suspects: readonly string[];
  readonly lotSuspect: { readonly value: boolean; readonly because: string };
  readonly compared: readonly LotCompared[];
  readonly conclusion: "consistent" | "mixed" | "not-assessable";
  /** One or two plain sentences; never says "genuine". */
  readonly says: string;
  readonly identity: "agrees-with-exemplar" | "differs" | "not-comparable" | "no-exemplar";
  readonly assurance: string;
  /** Aligned pictures for the report; not part of the JSON document. */
  readonly aligned: LotAligned;
}

/** What a split into groups goes along with. */
export type SplitFollows =
  | { readonly kind: "codes"; readonly codes: readonly string[] }
  | { readonly kind: "inside-code"; readonly code: string }
  | { readonly kind: "technique"; readonly differs: string }
  | { readonly kind: "picture" }
  | { readonly kind: "codes-unknown" };

/** What the method found, before it is put in words. */
export type LotFindings = Omit<LotResult, "says" | "assurance" | "lotSuspect" | "exemplars"> & {
  readonly exemplars: readonly ExemplarFindings[];
  /** What the split into groups follows; null for one group. */
  readonly split: SplitFollows | null;
};

/** Every assessable part brought onto the reference part's frame (attenuation, same size for all). */
export interface LotAligned {
  readonly width: number;
  readonly height: number;
  /** Body outline in the aligned frame. */
  readonly bodyBoxPx: BoxPx;
  readonly parts: readonly {
    readonly id: string;
    readonly attenuation: Image;
    /** Maps aligned-frame pixels to the original picture. */
    readonly toPicture: AffineMap;
    /**
     * What differs from its group's average beyond what is tolerated, signed, in multiples of the limit
     * (0 where nothing differs; positive: denser here).
     */
    readonly difference: Image;
  }[];
  /** Robust average of each group. */
  readonly averages: readonly { readonly group: string; readonly attenuation: Image }[];
  /** Each exemplar as it lies on a group, in the lot's tone, and where that group differs from it (as in `parts`). */
  readonly exemplars: readonly {
    readonly id: string;
    readonly group: string;
    readonly attenuation: Image;
    readonly difference: Image;
  }[];
}
