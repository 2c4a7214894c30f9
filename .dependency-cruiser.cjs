/**
 * Which folder of src/ may import which. Data runs down this list, imports point up it.
 * A folder that is not listed fails until it is placed here.
 */
const mayImport = {
  units: [],
  numeric: ["units"],
  statistics: ["units", "numeric"],
  physics: ["units", "numeric", "statistics"],
  radiograph: ["units", "numeric", "statistics", "physics"],
  formats: ["units", "numeric", "radiograph"],
  align: ["units", "numeric", "statistics", "radiograph"],
  inspections: ["units", "numeric", "statistics", "physics", "radiograph", "align"],
  judgement: ["units", "statistics", "inspections"],
  contract: ["units", "numeric", "inspections", "judgement", "radiograph"],
  report: ["units", "numeric", "align", "contract", "judgement", "inspections"],
  simulate: ["units", "numeric", "statistics", "physics", "radiograph"],
};

/** The only folders that touch disk, network, clock, randomness or a page. */
const shells = {
  jobs: [],
  cli: [...Object.keys(mayImport), "jobs"],
  web: ["contract"],
};

/** Packages a core folder may import. Everything else is handed in by a shell. */
const corePackages = { contract: ["zod"] };

const oneOf = (names) => `(${names.join("|")})`;
const inside = (names) => `^src/${oneOf(names)}/`;
const core = Object.keys(mayImport);
const placed = { ...mayImport, ...shells };

const directionRules = Object.entries(placed).map(([folder, allowed]) => ({
  name: `${folder}-imports`,
  comment: `src/${folder} may import ${allowed.length === 0 ? "nothing" : allowed.join(", ")} of src/.`,
  severity: "error",
  from: { path: inside([folder]) },
  to: { path: "^src/", pathNot: inside([folder, ...allowed]) },
}));

const packageRules = core.map((folder) => ({
  name: `${folder}-packages`,
  comment: "The core is plain computation: codecs, schedulers and drawing libraries are handed in.",
  severity: "error",
  from: { path: inside([folder]) },
  to: {
    path: "node_modules/",
    pathNot: corePackages[folder] ? `node_modules/${oneOf(corePackages[folder])}/` : [],
  },
}));

module.exports = {
  forbidden: [
    ...directionRules,
    ...packageRules,
    {
      name: "folder-not-placed",
      comment: "A folder of src/ must be listed in .dependency-cruiser.cjs with what it may import.",
      severity: "error",
      from: { path: "^src/", pathNot: inside(Object.keys(placed)) },
      to: {},
    },
    {
      name: "folder-not-placed-but-used",
      comment: "As folder-not-placed, seen from the side of the importer.",
      severity: "error",
      from: {},
      to: { path: "^src/", pathNot: inside(Object.keys(placed)) },
    },
    {
      name: "core-stays-pure",
      comment: "Only shells touch disk, network and process.",
      severity: "error",
      from: { path: inside(core) },
      to: { dependencyTypes: ["core"] },
    },
    {
      name: "contract-takes-radiograph-types-only",
      comment: "The contract describes documents; it computes nothing from pixels.",
      severity: "error",
      from: { path: inside(["contract"]) },
      to: { path: inside(["radiograph"]), dependencyTypesNot: ["type-only"] },
    },
    {
      name: "no-cycles",
      severity: "error",
      from: {},
      to: { circular: true },
    },
    {
      name: "no-orphans",
      comment: "Nothing imports this file and it imports nothing: wire it in or delete it.",
      severity: "error",
      from: { orphan: true, pathNot: "\\.d\\.ts$" },
      to: {},
    },
    {
      name: "no-unresolved",
      severity: "error",
      from: {},
      to: { couldNotResolve: true },
    },
    {
      name: "no-development-packages",
      comment: "A package that runs in the product belongs in dependencies.",
      severity: "error",
      from: { path: "^src/" },
      to: { dependencyTypes: ["npm-dev"], dependencyTypesNot: ["type-only"] },
    },
    {
      name: "no-tests-in-the-product",
      severity: "error",
      from: { path: "^src/" },
      to: { path: "^(test|bench|scripts)/" },
    },
  ],
  options: {
    // Tests may reach further than the code they test: a reader's test may draw with simulate/.
    exclude: { path: "\\.test\\.ts$|^src/numeric/kernels/assembly/" },
    doNotFollow: { path: "node_modules" },
    tsPreCompilationDeps: true,
    tsConfig: { fileName: "tsconfig.json" },
    enhancedResolveOptions: {
      exportsFields: ["exports"],
      conditionNames: ["import", "node", "default", "types"],
    },
  },
};
