/**
 * Whether the demo base holds what its trade asks for: the caution that each symptom calls for, limits as they were
 * published, the habits of the trade where they belong, and as much as the base promises. Read from the YAML itself,
 * without the compiler. The source stands beside each table; most habits have none, and the table says so. Limits of iron,
 * pH, manganese and copper in the trees for water quality are in `water-quality.test.ts`; signal words, hot water, air
 * gaps and the order of isolation in `safety.test.ts`.
 */
import { describe, expect, test } from "vitest";
import { parse } from "yaml";
import { baseOf, demoData, demoTexts, isProcedure, proceduresOf, section } from "./demo.ts";
import { isList, layOut, type ProcedureData, type StepData } from "./reader.ts";

const base = baseOf(demoData);
const trees = new Map(proceduresOf(demoData).flatMap((one) => (one.tree === undefined ? [] : [[one.tree, one]])));
const nameOf = ({ tree, routine }: ProcedureData): string => tree ?? routine ?? "";

/** By id of tree or routine: what its file says, without its comments, in one line. */
const texts = new Map(
  [...demoTexts]
    .filter(([path]) => isProcedure(path))
    .map(([, text]) => {
      const words = text.replace(/^\s*#.*$/gm, "").replace(/\s+/g, " ");
      return [nameOf(parse(text) as ProcedureData), words] as const;
    }),
);

/** Every key of the name below a value of parsed YAML. */
function* below(value: unknown, name: string): Generator {
  if (typeof value !== "object" || value === null) return;
  for (const [key, inner] of Object.entries(value)) {
    if (key === name) yield inner;
    yield* below(inner, name);
  }
}
/** The procedure, and every routine that somebody comes into from there. */
function withRoutines(procedure: ProcedureData, known = new Set<ProcedureData>()): Set<ProcedureData> {
  if (known.has(procedure)) return known;
  known.add(procedure);
  for (const { data } of layOut(procedure, base).steps.values()) {
    const routine = data.use === undefined ? undefined : base.routines[data.use];
    if (routine) withRoutines(routine, known);
  }
  return known;
}
const treeOf = (id: string): ProcedureData => {
  const tree = trees.get(id);
  if (!tree) throw new Error(`no tree ${id}`);
  return tree;
};
function cautionsIn(tree: string): Set<string> {
  const notes = [...withRoutines(treeOf(tree))].flatMap((one) => [...below(one, "safety")].flat());
  return new Set(notes.map((note) => (typeof note === "string" ? note : (note as { hazard: string }).hazard)));
}
const stepsOf = (tree: string): [string, StepData][] =>
  [...layOut(treeOf(tree), base).steps].map(([id, { data }]) => [id, data]);

// ---------------------------------------------------------------- what there is

/** The symptoms of the trade, one tree for each. Common practice, no published source. */
const symptoms = [
  "water-runs-to-drain",
  "hard-water",
  "no-salt-used",
  "too-much-salt",
  "brine-tank-full",
  "salty-taste",
  "no-regeneration",
  "stuck-mid-cycle",
  "low-flow",
  "media-in-fixtures",
  "iron-staining",
  "sulphur-smell",
  "air-spurting",
  "blue-green-stains",
  "cloudy-water",
  "tea-colour",
  "floor-leak",
  "dead-display",
  "noise-in-cycle",
  "pump-cycles-short",
  "no-water-well",
  "pressure-swings",
  "ro-slow",
  "ro-runs-to-drain",
  "ro-taste",
  "uv-alarm",
  "coliform-positive",
  "what-is-this-unit",
];

/** Serves the unit that nobody has named yet; whatever is asked of a repair does not fit it. */
const byLooks = "what-is-this-unit";

describe("the base", () => {
  const used = (name: string): Set<string> => {
    const lists = [...trees.values(), ...Object.values(base.routines)].flatMap((one) => [...below(one, name)]);
    return new Set(lists.flat().filter((one) => typeof one === "string"));
  };
  test("has a tree for each symptom", () => {
    expect([...trees.keys()].sort()).toEqual([...symptoms].sort());
  });
  test("has enough of everything, and it is used", () => {
    const found = used("found");
    const pictures = [...trees.values(), ...Object.values(base.routines)].flatMap((one) => [...below(one, "picture")]);
    const files = pictures.map((one) => (typeof one === "string" ? one : (one as { file: string }).file));
    const served = new Set([...trees].flatMap(([tree, { serves = [] }]) => (tree === byLooks ? [] : serves)));
    const stated = ["sets", "clears", "needs"].flatMap((name) => [...used(name)]);
    const cautioned = new Set([...trees.keys()].flatMap((tree) => [...cautionsIn(tree)]));
    expect(
      new Set([...trees.keys()].flatMap((tree) => [...withRoutines(treeOf(tree))])).size - 28,
    ).toBeGreaterThanOrEqual(15);
    expect(served.size).toBeGreaterThanOrEqual(12);
    expect(found.size).toBeGreaterThanOrEqual(60);
    expect(used("parts").size).toBeGreaterThanOrEqual(40);
    expect(used("tools").size).toBeGreaterThanOrEqual(30);
    expect(new Set(stated).size + cautioned.size).toBeGreaterThanOrEqual(20);
    expect(new Set(files).size).toBeGreaterThanOrEqual(40);
  });
  test("has facts for every family that is served, but for the unit that nobody has named yet", () => {
    for (const [tree, { serves = [] }] of trees)
      for (const family of serves)
        if (tree !== byLooks)
          expect(Object.keys(base.equipment[family]?.facts ?? {}).length, family).toBeGreaterThan(0);
  });
});

describe.each(symptoms)("%s", (tree) => {
  const data = treeOf(tree) as ProcedureData & {
    readonly causes?: Readonly<Record<string, { readonly basis?: string; readonly likelihood: number }>>;
  };
  test("has 12 to 45 steps", () => {
    const written = isList(data.steps) ? data.steps.length : Object.keys(data.steps).length;
    expect(written).toBeGreaterThanOrEqual(12);
    expect(written).toBeLessThanOrEqual(45);
  });
  test("says of every cause on what its likelihood rests", () => {
    const causes = Object.entries(data.causes ?? {});
    if (tree !== byLooks) expect(causes.length).toBeGreaterThan(3);
    for (const [cause, { basis }] of causes) expect(basis, cause).toMatch(/\w{3}/);
  });
  test("proves each remedy before it says that the fault is gone", () => {
    const steps = layOut(data, base).steps;
    // A visit ends well behind a proof, or at a unit that only had to be named.
    for (const [id, { exits, isProof }] of steps)
      if (exits.some(({ to }) => to === "done")) expect(isProof || tree === byLooks, id).toBe(true);
    for (const [id, step] of Object.entries(data.steps) as [string, StepData][]) {
      const mends = step.found !== undefined && step.remedy !== undefined;
      // What is mended is proved, or somebody else is called who does.
      if (mends) expect(step.prove !== undefined || step.then !== undefined, id).toBe(true);
    }
  });
  test("is no line of yes-no questions: it measures, and some check has three answers or more", () => {
    const checks = stepsOf(tree).map(([, step]) => step.answers ?? step.ranges ?? step.outcomes ?? {});
    expect(Math.max(...checks.map((ways) => Object.keys(ways).length))).toBeGreaterThanOrEqual(3);
    const measures = [...withRoutines(data)].some((one) =>
      [...layOut(one, base).steps.values()].some((step) => step.data.measure !== undefined),
    );
    // What a unit is, is seen: nothing about it is measured before it has a name.
    expect(measures).toBe(tree !== byLooks);
  });
});

// ---------------------------------------------------------------- cautions

/**
 * The hazards of the trade with the signal word that it gives them; the base may use a stronger one. Common practice, no
 * published source; what the words mean is in `safety.test.ts`.
 */
const hazards = {
  "stored-pressure": "warning",
  "mains-electricity": "danger",
  "low-voltage": "caution",
  scald: "warning",
  "ultraviolet-light": "warning",
  "broken-lamp": "caution",
  bleach: "warning",
  "cleaning-chemicals": "warning",
  "unsafe-water": "warning",
  "well-pit": "danger",
  "shock-in-water": "danger",
  "heavy-lift": "caution",
  "wet-floor": "caution",
  brine: "notice",
  "drain-contact": "caution",
  "back-siphonage": "notice",
  "moving-drive": "caution",
  "well-head-electrics": "danger",
} as const;

describe("hazards of the trade", () => {
  const words = ["notice", "caution", "warning", "danger"];
  const known = section<{ signal: string; title: string; consequence: string; precaution: string }>(
    demoData,
    "hazards",
  );
  test.each(Object.entries(hazards))("%s is known, with the word %s or a stronger one", (id, word) => {
    expect(words.indexOf(known[id]?.signal ?? "")).toBeGreaterThanOrEqual(words.indexOf(word));
  });
  test.each(Object.keys(hazards))("%s is cautioned of in some tree", (id) => {
    expect(symptoms.filter((tree) => cautionsIn(tree).has(id))).not.toEqual([]);
  });
  // Household gases note of a health department, <http://www.magnifiedts.com/dangerous-gases-in-the-home/>; leaflet of a
  // county for wells, <https://paperzz.com/doc/8442958/shock-chlorination-procedure>.
  test("bleach is kept from acid, ammonia and iron remover", () => {
    const { consequence = "", precaution = "" } = known.bleach ?? {};
    for (const word of ["acid", "ammonia", "iron remover", "gas"]) expect(consequence).toContain(word);
    expect(precaution).toMatch(/never let it meet another cleaner/i);
    expect(precaution).toMatch(/goggles, gloves, an open window/i);
  });
  test("acid and potassium permanganate are cautioned of", () => {
    expect(known["cleaning-chemicals"]?.consequence).toMatch(/acid and potassium permanganate burn/);
  });
  test("salt and vessels are named with their weight", () => {
    const all = [...texts.values()].join(" ");
    expect(all).toMatch(/\b18 kg \(40 lb\)/);
    expect(all).toMatch(/\b60 kg \(130 lb\) and more/);
  });
});

/**
 * What is feared at each symptom, and must be cautioned of in its tree or in a routine that it uses. Common practice, no
 * published source; where the reason is a rule it stands there. For every unit whose head or housing is opened that is
 * stored pressure; for every drive that is started by hand, moving parts; for every drain line that is handled, back-siphonage
 * and drain water.
 */
const opened = ["stored-pressure", "water-damage", "unsafe-water"];
const head = [...opened, "moving-drive", "low-voltage", "back-siphonage", "drain-contact", "shock-in-water"];
const salt = ["brine"];
const pump = ["mains-electricity", "stored-pressure", "shock-in-water", "well-pit", "moving-drive"];
const ro = [...opened, "back-siphonage", "drain-contact", "low-voltage", "moving-drive"];
const feared: Readonly<Record<string, readonly string[]>> = {
  "water-runs-to-drain": [...head, ...salt, "wet-floor", "scald", "mains-electricity"],
  "hard-water": [...head, ...salt, "scald", "cleaning-chemicals", "heavy-lift"],
  "no-salt-used": [...head, ...salt, "heavy-lift"],
  "too-much-salt": [...head, ...salt, "heavy-lift"],
  "brine-tank-full": [...head, ...salt, "wet-floor", "heavy-lift"],
  "salty-taste": [...head, ...salt],
  "no-regeneration": [...head, "mains-electricity"],
  "stuck-mid-cycle": [...head, "mains-electricity"],
  // The vessel is lifted and its media are handled.
  "low-flow": [...head, "heavy-lift", "media-dust", "scald"],
  // A heater full of beads is a plumber's: nobody opens it, and what comes out is hot.
  "media-in-fixtures": [...head, "heavy-lift", "media-dust", "scald"],
  "iron-staining": [...head, "bleach", "scald"],
  // The heater's anode makes hydrogen; scald and anode work are a licensed plumber's.
  "sulphur-smell": ["scald", "hydrogen", "sulphide-gas", "fuel-gas", "bleach", "unsafe-water", "stored-pressure"],
  // Gas in the water: methane is a danger, stop and call.
  "air-spurting": [...pump, "methane", "fuel-gas"],
  // Stray current on the pipes; media are filled in by hand.
  "blue-green-stains": [
    "current-on-pipes",
    "mains-electricity",
    "media-dust",
    "heavy-lift",
    "unsafe-water",
    "stored-pressure",
  ],
  "cloudy-water": ["methane", "fuel-gas", "scald", "unsafe-water", "stored-pressure"],
  // Surface water that gets into the well.
  "tea-colour": ["unsafe-water", "well-head-electrics", "brine", "stored-pressure"],
  // A cracked vessel is isolated at once; water stands near electric things.
  "floor-leak": [...head, "wet-floor", "brine"],
  "dead-display": ["mains-electricity", "low-voltage", "shock-in-water", "moving-drive", "stored-pressure"],
  "noise-in-cycle": [...head, "scald"],
  // The tank keeps its air charge when its water is gone.
  "pump-cycles-short": [...pump, "stored-charge"],
  "no-water-well": [...pump, "stored-charge", "well-head-electrics", "unsafe-water"],
  "pressure-swings": [...pump, "stored-charge", "scald"],
  "ro-slow": [...ro, "heavy-lift"],
  "ro-runs-to-drain": ro,
  "ro-taste": [...ro, "bleach"],
  // UV burns eyes, the sleeve breaks and holds a lamp with mercury; the water is not for drinking while the lamp is off.
  "uv-alarm": [
    ...opened,
    "ultraviolet-light",
    "broken-lamp",
    "mains-electricity",
    "bleach",
    "wet-floor",
    "shock-in-water",
  ],
  "coliform-positive": [
    "unsafe-water",
    "bleach",
    "well-head-electrics",
    "well-pit",
    "mains-electricity",
    "ultraviolet-light",
  ],
  "what-is-this-unit": [
    "stored-pressure",
    "mains-electricity",
    "low-voltage",
    "shock-in-water",
    "ultraviolet-light",
    "bleach",
    "cleaning-chemicals",
    "well-head-electrics",
    "well-pit",
  ],
};

describe("cautions", () => {
  test("stand in the table for every symptom", () => expect(Object.keys(feared).sort()).toEqual([...symptoms].sort()));
  test.each(Object.entries(feared))("%s cautions of what is feared there", (tree, dangers) => {
    const given = cautionsIn(tree);
    expect(dangers.filter((hazard) => !given.has(hazard))).toEqual([]);
  });
});

// What must always be said. Common practice, no published source.
describe("what must always be said", () => {
  const { notice = "" } = demoData.get("headwater.yaml") as { notice?: string };
  test.each([
    ["codes come first", /local plumbing, electrical, gas, well and health codes come first/i],
    ["so does the maker's manual", /so does the maker's manual/i],
    [
      "fixed mains, gas and pressure vessels are licensed work",
      /fixed mains, gas, pressure vessels[^.]*licensed work/i,
    ],
    ["unsafe water is the health authority's matter", /unsafe is the health authority's matter/i],
    ["nobody goes into a well pit alone", /nobody enters a well pit alone/i],
    ["what is invented is invented", /likelihoods, the minutes and the review dates are invented/i],
  ])("%s", (_what, words) => expect(notice.replace(/\s+/g, " ")).toMatch(words));

  /** Whom a hand-over of the tree or of a routine in it calls. */
  const calls = (tree: string): Set<unknown> =>
    new Set([...withRoutines(treeOf(tree))].flatMap((one) => [...below(one, "call")]));
  test.each(symptoms.filter((tree) => cautionsIn(tree).has("mains-electricity")))(
    "%s, with mains electricity in it, hands over to somebody who is licensed for it",
    (tree) => {
      expect([...calls(tree)].some((one) => one === "licensed-electrician" || one === "well-contractor")).toBe(true);
    },
  );
  test.each(symptoms.filter((tree) => cautionsIn(tree).has("well-pit")))(
    "%s, with a well pit in it, calls a crew",
    (tree) => {
      expect(calls(tree)).toContain("well-contractor");
    },
  );
  test.each(["coliform-positive", "uv-alarm", "cloudy-water", "tea-colour"])(
    "%s, with unsafe water in it, hands over to the health authority",
    (tree) => {
      expect(calls(tree)).toContain("health-authority");
    },
  );
});

// ---------------------------------------------------------------- limits

interface Range {
  readonly from?: string | number;
  readonly below?: string | number;
}
const figure = (end: string | number | undefined, open: number): number =>
  end === undefined ? open : Number.parseFloat(String(end));
/** The range of a measuring step that a value falls into; the lower end belongs to a range, the upper one does not. */
function falls(tree: string, step: string, value: number): string | undefined {
  const procedure = trees.get(tree) ?? base.routines[tree];
  const ranges = procedure && (layOut(procedure, base).steps.get(step)?.data.ranges as Readonly<Record<string, Range>>);
  return Object.entries(ranges ?? {}).find(
    ([, { from, below: to }]) => value >= figure(from, -Infinity) && value < figure(to, Infinity),
  )?.[0];
}

describe("published limits", () => {
  test.each([
    // 40 CFR 141.62 (from memory; 10 mg/L also in 141.11(d), <https://codes.findlaw.com/cfr/title-40-protection-of-environment/cfr-sect-40-141-11/>):
    // nitrate 10 mg/L as nitrogen. The limit itself would pass there; the base hands it over already.
    ["coliform-positive", "nitrate", 9.9, "usual"],
    ["coliform-positive", "nitrate", 10, "raised"],
    // Hardness classes of the Water Quality Association and the US Department of the Interior, on a laboratory's report page,
    // <https://godfire.net/PondeRoacha_H20_Lab_Results.htm>: soft to 1 gpg (17.1 mg/L), slightly hard above.
    ["hardness-test", "treated", 1, "soft"],
    ["hardness-test", "treated", 1.1, "above"],
    // What a unit for ultraviolet light is fed: more than 75 % of the light. Common practice, no published source.
    ["uv-alarm", "transmittance", 74.9, "dark"],
    ["uv-alarm", "transmittance", 75, "clear"],
    // A lamp is due after a year, lit or not. Common practice, no published source.
    ["uv-alarm", "lamp-age", 11, "fresh"],
    ["uv-alarm", "lamp-age", 12, "due"],
    // A pump that runs less than a minute starts too often. Common practice, no published source.
    ["pump-cycles-short", "run-time", 59, "short"],
    ["pump-cycles-short", "run-time", 60, "long"],
  ])("%s: %s of %d is %s", (tree, step, value, range) => {
    expect(falls(tree, step, value)).toBe(range);
  });

  // The format has no place for a source beside a limit, so the texts name it. The figures are those of the same sections:
  // 143.3 and 141.2 as read on <http://www.law.cornell.edu/cfr/text/40/143.3> and
  // <https://www.law.cornell.edu/definitions/index.php?width=840&height=800&iframe=true&def_id=f91038972f1ada7201aef4a8cb1999ba&term_occur=999&term_src=Title:40:Chapter:I:Subchapter:D:Part:141:Subpart:I:141.83>;
  // 141.62 and 141.65 from memory. Classes of hardness and gap above the rim as beside their figures, here and in
  // `safety.test.ts`.
  test.each([
    ["test-iron", /Above ([\d.]+) mg\/L iron stains\. .{0,60}\(40 CFR 143\.3\)/, ["0.3"]],
    ["iron-staining", /manganese\. Its US secondary limit is ([\d.]+) mg\/L \(40 CFR 143\.3\)/, ["0.05"]],
    ["test-ph", /US secondary range .{0,30}pH ([\d.]+) to ([\d.]+) \(40 CFR 143\.3\)/, ["6.5", "8.5"]],
    ["salty-taste", /Chloride above (\d+) mg\/L .{0,60}\(40 CFR 143\.3\)/, ["250"]],
    [
      "blue-green-stains",
      /from ([\d.]+) mg\/L, the US secondary limit \(40 CFR 143\.3\)\. .{0,30}under ([\d.]+) mg\/L, .{0,30}\(40 CFR 141\.2\)/,
      ["1.0", "1.3"],
    ],
    ["coliform-positive", /the US limit is ([\d.]+) mg\/L \(40 CFR 141\.62\)/, ["10"]],
    ["coliform-positive", /goal of the US Environmental Protection Agency is (\w+) of both/, ["zero"]],
    ["check-chlorine-feed", /chlorine in drinking water is (\d+) mg\/L \(40 CFR 141\.65\)/, ["4"]],
    ["hardness-test", /Up to (\d+) gpg \((\d+) mg\/L\) counts as soft .{0,30}Water Quality Association/, ["1", "17"]],
    ["refit-drain-line", /at least (\d+) mm \((\d+) in\) above the flood rim\. Model plumbing codes/, ["25", "1"]],
  ])("%s names who published its limit", (where, words, figures) => {
    expect(words.exec(texts.get(where) ?? "")?.slice(1)).toEqual(figures);
  });

  // Molar masses: nitrate is 62.0049/14.0067 = 4.4268 times its nitrogen.
  test("a report in nitrate is turned into nitrogen by the molar masses", () => {
    const [, ion = "", factor = ""] =
      /shows (\d+) for the same: divide by (\d\.\d+)/.exec(texts.get("coliform-positive") ?? "") ?? [];
    expect(Number(factor)).toBeCloseTo(62.0049 / 14.0067, 2);
    expect(Number(ion)).toBeCloseTo((10 * 62.0049) / 14.0067, 0);
  });
  // Table of regulated contaminants of the US Environmental Protection Agency, goal "zero" (from memory).
  test("coliform and E. coli pass only at zero in 100 mL", () => {
    expect(texts.get("coliform-positive")).toMatch(/absent: \{say: "Absent, or zero in 100 mL", then: who-drinks/);
    expect(texts.get("coliform-positive")).toMatch(/one and more in 100 mL", then: call-health/);
    expect(texts.get("coliform-positive")).toMatch(/two pairs of samples clear, a week or more apart/);
  });
  // Feed of a unit for ultraviolet light. Common practice, no published source; iron and manganese are also the limits of
  // 40 CFR 143.3, <http://www.law.cornell.edu/cfr/text/40/143.3>.
  test("the feed of the lamp is held to its limits, in both systems", () => {
    const [, iron, manganese, mg = "", gpg = "", turbidity] =
      /iron ([\d.]+) mg\/L, manganese ([\d.]+) mg\/L, hardness (\d+) mg\/L \((\d+) gpg\) and turbidity (\d+) NTU/.exec(
        texts.get("uv-alarm") ?? "",
      ) ?? [];
    expect([iron, manganese, mg, gpg, turbidity]).toEqual(["0.3", "0.05", "120", "7", "1"]);
    expect(Number(gpg) * 17.118).toBeCloseTo(Number(mg), 0);
  });
  // 40 CFR 143.3, same page: chloride 250 mg/L.
  test("chloride is tasted from 250 mg/L on", () => {
    expect(texts.get("salty-taste")).toMatch(/chloride above 250 mg\/L/i);
  });
  // A page for owners of wells, <https://well-water-treatment.com/shockcl2.htm>, and Alberta Agriculture: 50 to 200 mg/L, 6
  // to 24 hours standing.
  test("a well is shocked with 50 to 200 mg/L, and stands for six hours at least", () => {
    const all = `${texts.get("shock-chlorinate-well")} ${texts.get("mix-chlorine-solution")}`;
    expect(all).toMatch(/published ones go from 50 to 200 mg\/L/);
    for (const step of ["round", "every-tap"]) {
      expect(falls("shock-chlorinate-well", step, 49)).toBe("weak");
      expect(falls("shock-chlorinate-well", step, 50)).not.toBe("weak");
    }
    expect(falls("shock-chlorinate-well", "stood", 5.9)).toBe("short");
    expect(falls("shock-chlorinate-well", "stood", 6)).not.toBe("short");
  });
});

// ---------------------------------------------------------------- habits of the trade

/**
 * What technicians hold to, with the tree or routine where it belongs and the words by which it is known there. Common
 * practice, no published source.
 */
const habits: readonly (readonly [habit: string, where: string, ...words: RegExp[]])[] = [
  [
    "bypass tells the unit from the rest",
    "bypass-test",
    /does the drain stop in bypass/i,
    /stops: The water comes through this unit/,
    /keeps-on: Something else feeds/,
  ],
  [
    "a bypass that passes is mended before the valve is judged",
    "bypass-test",
    /the bypass passes and the water comes through the unit/,
  ],
  [
    "a unit that counts down is let come to its end",
    "water-runs-to-drain",
    /number that counts down is a cycle, and a cycle is not a fault/,
    /counts-down: \{[^}]*then: finish-cycle/,
  ],
  [
    "a flow in service is a leak past the seals or a core between positions",
    "water-runs-to-drain",
    /A worn seal gives a trickle\. A core in the wrong place gives nearly the backwash rate/,
  ],
  [
    "motor heard and no change: the core",
    "water-runs-to-drain",
    /Motor heard and no change at the drain, look at the core/,
    /runs-no-change: \{[^}]*then: found-off-home/,
  ],
  [
    "no motor: power and drive",
    "water-runs-to-drain",
    /No motor, look at power and drive/,
    /no-motor: \{[^}]*then: supply-volts/,
  ],
  [
    "a motor that runs on: its sensor first",
    "water-runs-to-drain",
    /runs-on: \{[^}]*then: found-control/,
    /found: control-stuck.*Clean the position sensor/,
  ],
  ["a line that rises holds water", "water-runs-to-drain", /a line that rises above the unit runs empty slowly/],
  [
    "drops that stop are no fault",
    "water-runs-to-drain",
    /Drops only: wait ten minutes/,
    /Dry\. The line was only running empty/,
  ],
  [
    "a softener has two pistons, a filter one",
    "replace-seals-and-piston",
    /only-for: \{pistons: 2\}/,
    /A softener has a brine piston/,
    /look alike/,
  ],
  [
    "what fills the salt tank is a matter of brine only",
    "water-runs-to-drain",
    /brine-valve-passing: likelihood: \d+ basis: [^:]*only-for: \{regenerant: brine\}/,
  ],
  [
    "a stick goes through the salt before a part is ordered",
    "hard-water",
    /Push the stick through the salt to the bottom/,
  ],
  [
    "a stick goes through the salt before a part is ordered",
    "no-salt-used",
    /Push the stick through the salt to the bottom/,
  ],
  ["suction is felt at the valve", "measure-brine-draw", /Does the valve pull water/i],
  [
    "silicone grease outside, water inside",
    "replace-seals-and-piston",
    /Wet them with clean water only\. No grease goes into the stack/,
    /Silicone grease[^.]*outer O-rings of the end plug only/,
  ],
  ["petroleum grease never", "replace-seals-and-piston", /Petroleum grease swells rubber/],
  ["petroleum grease never", "put-head-on", /Petroleum grease swells/],
  [
    "bypass, pressure and power before a head is opened",
    "isolate-unit",
    /use: set-bypass - use: relieve-pressure.*use: unplug/,
  ],
  [
    "nothing is open before it is proved without pressure",
    "relieve-pressure",
    /silent for a full minute/,
    /A silent drain can also be a blocked drain/,
  ],
  ["plastic by hand", "replace-seals-and-piston", /Tighten by hand and a little more\. Plastic threads strip/],
  ["no paste and no pipe wrench at O-rings", "put-head-on", /No thread paste and no pipe wrench at an O-ring joint/],
  [
    "parts in hand before a valve is opened",
    "replace-seals-and-piston",
    /Have every part in hand before you open.*on the same visit/,
  ],
  [
    "seals are changed as a set",
    "replace-seals-and-piston",
    /The whole stack is changed, because the labour is the same/,
  ],
  ["seals are changed as a set", "water-runs-to-drain", /They are changed as a set/],
  ["a blocked hole is likelier than a broken part", "clean-injector", /A blocked hole is likelier than a broken part/],
  [
    "grit is flushed before seals are changed",
    "water-runs-to-drain",
    /flow-again: measure: Flow at the drain before and after the flush/,
  ],
  [
    "half a turn, and what comes then says whether to stop",
    "take-head-off",
    /Half a turn first, then wait\. A jet or a hiss means that pressure or air is left\. Turn it back/,
  ],
  [
    "water comes back a quarter at first, with a tap open",
    "set-to-service",
    /Open a cold tap near the unit - do: Open the way into the unit a quarter/,
    /no more air comes from the tap/,
    /Fast filling lifts the bed/,
  ],
  ["tested again at the nearest cold tap", "hard-water", /prove: measure: Hardness/, /cold tap/],
  [
    "drain dry and no drip in ten minutes",
    "water-runs-to-drain",
    /prove: measure: Water at the drain in ten minutes of service/,
    /for drips/,
  ],
  ["the meter is noted", "set-to-service", /Write the reading of the unit's meter on the job sheet/],
  [
    "hard at one tap is not the softener",
    "hard-water",
    /one-branch: \{[^}]*then: found-raw-tap/,
    /This tap was never behind the softener\. The unit is innocent/,
  ],
  [
    "hard and hot is the heater's old content",
    "hard-water",
    /hot-only: \{[^}]*then: found-heater/,
    /heater's content is used/,
  ],
  [
    "a dead or switched socket is the first look, and costs nothing",
    "dead-display",
    /only-for: \{control: display\}|socket: use: check-socket/,
  ],
  [
    "a dead or switched socket is the first look, and costs nothing",
    "no-regeneration",
    /A dead or switched socket is the cheapest cause of a dead unit/,
  ],
  [
    "the wrong hour gives raw water at use",
    "hard-water",
    /While a unit with one vessel cleans itself, the house gets raw water/,
    /Compare with your watch/,
  ],
  [
    "beads in the taps: bypass, nothing runs through it",
    "media-in-fixtures",
    /go-round: use: set-bypass/,
    /carries more of the bed into valves and heater/,
  ],
  ["orange after a cycle: drain flow", "iron-staining", /Orange water only right after a cycle points here too/],
  [
    "dust of a new carbon bed is normal until it runs clear",
    "media-in-fixtures",
    /It is the dust of the new bed or cartridge\. It is harmless/,
    /until a white bucket stays clear/,
  ],
  [
    "dust of a new carbon cartridge is normal until it runs clear",
    "change-cartridge",
    /black dust at first\. Run it until the water is clear/,
  ],
  [
    "a pump that starts often: charge with the tank empty",
    "pump-cycles-short",
    /precharge-wrong: likelihood/,
    /Air charge of the empty tank against the cut-in/,
    /needs: \[locked-off, proven-still, water-shut, tank-drained\]/,
  ],
  [
    "air: suction, level or air control",
    "air-spurting",
    /found: suction-leak/,
    /found: well-drawn-down/,
    /found: air-control-fault/,
  ],
  [
    "light: the water before the glass",
    "uv-alarm",
    /Water that is too dark looks like a dirty sleeve to the sensor, and no cleaning helps/,
  ],
  ["a lamp is due yearly, lit or not", "uv-alarm", /A lamp is due after about 9,000 hours \(a year\), lit or not/],
  [
    "little permeate: filter, pressure, cold, charge, membrane",
    "ro-slow",
    /found: ro-prefilter-blocked/,
    /Feed pressure while the unit makes water/,
    /with the cold allowed for/,
    /Air charge of the empty tank/,
    /found: membrane-fouled/,
  ],
  [
    "a drain that never stops: shut the tank",
    "ro-runs-to-drain",
    /Drain flow with the tank shut off/,
    /found: permeate-check-passing/,
    /found: shut-off-worn/,
  ],
  [
    "one change, one test, one note",
    "look-before-work",
    /changes one thing, tests it and writes it down before the next/,
  ],
  [
    "one change, one test, one note",
    "look-before-well-work",
    /changes one thing, tests it and writes it down before the next/,
  ],
];

describe("habits of the trade", () => {
  for (const [habit, where, ...words] of habits)
    test(`${habit} (${where})`, () => {
      for (const word of words) expect(texts.get(where) ?? "").toMatch(word);
    });

  /** Whether every way to the one leads by the other, from the tree's beginning and as long as nothing was mended. */
  function comesFirst(tree: string, first: string, then: string): boolean {
    const { steps, start } = layOut(treeOf(tree), base);
    const reached = new Set([start].filter((id) => id !== first));
    for (const id of reached) {
      if (steps.get(id)?.isProof) continue;
      for (const { to, again } of steps.get(id)?.exits ?? [])
        for (const next of [to, again?.step, again?.else])
          if (next !== undefined && next !== first && steps.has(next)) reached.add(next);
    }
    expect(steps.has(first) && steps.has(then)).toBe(true);
    return !reached.has(then);
  }
  // Orders of effort: what costs little is tried before what costs more. Common practice, no published source.
  test.each([
    ["brine-tank-full", "brine-draw", "drain-flow"],
    ["brine-tank-full", "drain-flow", "found-injector"],
    ["no-salt-used", "salt-look", "brine-draw"],
    ["no-salt-used", "drain-flow", "found-injector"],
    ["hard-water", "drain-flow", "found-injector"],
    ["dead-display", "socket", "supply"],
    ["dead-display", "supply", "lead-look"],
    ["dead-display", "socket", "board-volts"],
    ["stuck-mid-cycle", "supply", "motor-volts"],
    ["water-runs-to-drain", "isolate", "flow-again"],
    ["pump-cycles-short", "empty-tank", "tank-charge"],
    ["air-spurting", "gas", "raw-bottle"],
    ["uv-alarm", "tag-taps", "alarm-kind"],
    ["uv-alarm", "transmittance", "lamp-age-low"],
    ["ro-slow", "empty-tank", "tank-air"],
    ["coliform-positive", "tell", "report"],
    ["media-in-fixtures", "go-round", "isolate-head"],
  ])("in %s, %s comes before %s", (tree, first, then) => {
    expect(comesFirst(tree, first, then)).toBe(true);
  });
});
