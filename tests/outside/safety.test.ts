/**
 * Signal words, signs, limits and the order of isolation against what is published about them. The source stands beside
 * each check, with how it was got; what no publication says is marked as common practice. Figures in the demo base's own
 * texts are read out of these texts, so that a change there is noticed here.
 */
import { describe, expect, test } from "vitest";
import { parse } from "yaml";
import { exampleInput } from "../../compiler/examples.ts";
import { type Complaint, check, type RuleName } from "../../compiler/index.ts";
import { DAY, exampleBase } from "../annotations.ts";
import { baseOf, demoData, demoTexts, proceduresOf, section } from "./demo.ts";
import { beginning, layOut, movesFrom, type Position, type ProcedureData, stepAt, type WalkOptions } from "./reader.ts";

const told = (files: string, ...only: RuleName[]): Complaint[] =>
  check(exampleInput(files, exampleBase), { today: DAY, only }).complaints.filter(({ rule }) => only.includes(rule));
const on = (then: string): object => ({ then });
const file = (path: string, data: object): string => `--- # ${path}\n${JSON.stringify({ format: 1, ...data })}\n`;

// ---------------------------------------------------------------- the demo base, as data

interface DemoHazard {
  readonly title: string;
  readonly signal: string;
  readonly harm?: string;
  readonly chance?: string;
  readonly sign?: string;
  readonly consequence: string;
  readonly precaution: string;
  readonly above?: string;
}
const hazards = section<DemoHazard>(demoData, "hazards");
const procedures = proceduresOf(demoData);
const base = baseOf(demoData);

// ---------------------------------------------------------------- signal words

/**
 * ANSI Z535.4-2007, 4.14, with the same words in ANSI Z535.6 for manuals; read as reprinted on
 * <http://www.safetylabel.com/safetylabelstandards/ansi-signal-words.php>. DANGER: will kill or seriously injure. WARNING:
 * could. CAUTION: could injure lightly or moderately; there is no stronger word for a light injury that is certain.
 * NOTICE: not about injury, however certain.
 */
const ansi = [
  ["death", "will", "danger"],
  ["death", "could", "warning"],
  ["serious-injury", "will", "danger"],
  ["serious-injury", "could", "warning"],
  ["minor-injury", "will", "caution"],
  ["minor-injury", "could", "caution"],
  ["damage", "will", "notice"],
  ["damage", "could", "notice"],
] as const;
const signals = ["danger", "warning", "caution", "notice"] as const;

const madeUp = { title: "Made up", consequence: "Something happens.", precaution: "Do not." };
const wordsTold = (hazard: object): string[] =>
  told(file("catalog/more.yaml", { hazards: { "made-up": { ...madeUp, ...hazard } } }), "weak-signal-word").map(
    ({ message }) => message,
  );

describe("signal words of ANSI Z535.6", () => {
  describe.each(ansi)("%s that %s happen calls for %s", (harm, chance, word) => {
    test.each(signals)("so the word %s is judged", (signal) => {
      // `could` is what is meant where nothing is said.
      for (const hazard of [{ harm, chance, signal }, ...(chance === "could" ? [{ harm, signal }] : [])]) {
        const messages = wordsTold(hazard);
        expect(messages).toHaveLength(signal === word ? 0 : 1);
        if (signal !== word) expect(messages[0]).toMatch(new RegExp(`says ${signal}.* calls for ${word}$`, "i"));
      }
    });
  });

  // Without `harm` only the consequence speaks. Which words it uses is common English, no published list.
  test.each([
    ["The shock can kill you.", ["danger", "warning"]],
    ["The fall is fatal.", ["danger", "warning"]],
    ["You can drown in it.", ["danger", "warning"]],
    ["The steam burns your hand.", ["danger", "warning", "caution"]],
    ["You can cut a finger.", ["danger", "warning", "caution"]],
    ["The floor gets wet.", ["danger", "warning", "caution", "notice"]],
  ])("%s is no matter for a weaker word", (consequence, strongEnough) => {
    const silent = signals.filter((signal) => wordsTold({ consequence, signal }).length === 0);
    expect(silent).toEqual(strongEnough);
  });

  test.each(Object.entries(hazards))(
    "the demo base's hazard %s has its word",
    (_id, { signal, harm, chance = "could" }) => {
      // The demo base says of each what can come of it, so that nobody has to guess.
      expect(ansi.map(([first, second]) => `${first} ${second}`)).toContain(`${harm} ${chance}`);
      expect(signal).toBe(ansi.find(([first, second]) => first === harm && second === chance)?.[2]);
    },
  );

  // Same source: the alert triangle belongs to the words for injury. ISO 3864-2 keeps no word at all for damage (read in
  // ISO 9244:2020, 4.6.2, on <https://www.isopdfdownload.com/iso-9244-2020-pdf-free.html>).
  test("a notice of the demo base carries no warning triangle", () => {
    for (const { signal, sign = "" } of Object.values(hazards)) if (signal === "notice") expect(sign).not.toMatch(/^W/);
  });

  // ANSI Z535.6-2011: hazard, consequence and how to avoid it (from memory).
  test.each(Object.entries(hazards))(
    "the demo base's hazard %s says what can come of it and how to avoid it",
    (_id, hazard) => {
      for (const text of [hazard.title, hazard.consequence, hazard.precaution]) expect(text).toMatch(/\w{3}/);
    },
  );
});

// ---------------------------------------------------------------- signs

/**
 * ISO 7010:2019. Code and picture were compared by drawing the artwork of the LaTeX package on
 * github.com/BenSt099/isosafety; the meanings are from memory of the standard. W021 and W027 were read in the list of
 * github.com/lbize/iso-7010 (lib.typ), which agrees with all warning signs here. A code that is not here must be looked up
 * before it is used: other lists on the web get them wrong.
 */
const signs: Readonly<Record<string, readonly [meaning: string, fits: RegExp]>> = {
  W001: ["general warning", /./],
  W011: ["slippery surface", /slip|wet floor/i],
  W012: ["electricity", /electric|shock|voltage|live wir/i],
  W016: ["toxic material", /poison|toxic/i],
  W017: ["hot surface", /hot|burn|scald/i],
  W018: ["automatic start-up", /starts? by itself|start-up/i],
  W019: ["crushing", /crush/i],
  W021: ["flammable material", /explo|flash|flame|fire/i],
  W023: ["corrosive substance", /corros|acid|lye|bleach/i],
  W027: ["optical radiation", /light|radiation/i],
  // Drawn as a cylinder; here also for vessels and lines under pressure, which no sign of its own exists for.
  W029: ["pressurised cylinder", /pressur/i],
  W041: ["asphyxiating atmosphere", /oxygen|suffocat|bad air/i],
  M001: ["general mandatory action", /./],
  M002: ["refer to instruction manual", /manual|instruction/i],
  M004: ["wear eye protection", /eye/i],
  M008: ["wear safety footwear", /foot|feet|shoe|boot/i],
  M009: ["wear protective gloves", /glove/i],
  M010: ["wear protective clothing", /cloth/i],
  M021: ["disconnect before maintenance or repair", /disconnect|unplug|plug out|switch off/i],
};

describe("signs of ISO 7010", () => {
  const signed = Object.entries(hazards).filter(([, { sign }]) => sign !== undefined);
  test("most hazards of the demo base have one", () => {
    expect(signed.length).toBeGreaterThan(Object.keys(hazards).length / 2);
  });
  test.each(signed)("the sign of %s means that", (_id, { sign = "", title, consequence, precaution }) => {
    const [meaning, fits] = signs[sign] ?? [];
    expect(meaning, `${sign} has not been looked up`).toBeDefined();
    expect(`${title} ${consequence} ${precaution}`, `${sign} means ${meaning}`).toMatch(fits ?? /$./);
    // A mandatory sign asks for what the precaution says; a warning sign shows what can come.
    if (/^M/.test(sign)) expect(precaution).toMatch(fits ?? /$./);
    if (/^W/.test(sign)) expect(`${title} ${consequence}`).toMatch(fits ?? /$./);
  });
});

// ---------------------------------------------------------------- hot water

/**
 * (a) Burn page of a children's hospital, <https://www.childrensal.org/PreventScaldBurnInjuries>; the same table is used by
 * the US Consumer Product Safety Commission. Seconds to a scald; more than five minutes at 120 °F, less than five seconds
 * at 140 °F.
 */
const scaldFahrenheit = [
  [120, 300],
  [125, 90],
  [130, 30],
  [135, 10],
  [140, 5],
  [145, 3],
  [150, 1.5],
  [155, 1],
] as const;
/** (b) Moritz and Henriques 1947, as reprinted: seconds to a second-degree and to a third-degree burn. */
const scaldCelsius = [
  [45, 7200, 10_800],
  [47, 1200, 2700],
  [48, 900, 1200],
  [49, 480, 600],
  [51, 120, 252],
  [55, 17, 30],
  [60, 3, 5],
] as const;
/** Outlets that people bathe at: 120 °F at most, US Consumer Product Safety Commission and plumbing codes. */
const OUTLET_LIMIT_F = 120;
const celsius = (fahrenheit: number): number => ((fahrenheit - 32) * 5) / 9;
/** Who needs longer than this has felt it and drawn back; that is the limit's own reason. */
const LONG_SECONDS = 300;

const raises = (above: string, unit: string, upTo: number): boolean => {
  const hazard = { ...madeUp, signal: "warning", above };
  const measure = {
    measure: "The reading",
    readings: { reading: { ask: "What it reads", unit, between: [0, upTo] } },
    ranges: { any: { from: 0, ...on("found-salt") } },
  };
  const tree = parse(exampleBase.split("--- # softeners/hard-water.yaml\n")[1] ?? "") as ProcedureData;
  return (
    told(
      file("catalog/more.yaml", { hazards: { "made-up": hazard } }) +
        file("softeners/hard-water.yaml", { ...tree, start: "made-up", steps: { ...tree.steps, "made-up": measure } }),
      "missing-safety-note",
    ).filter(({ message }) => message.includes("`made-up`, which") || message.includes("raises `made-up`")).length > 0
  );
};

describe("hot water", () => {
  const [, scald] = Object.entries(hazards).find(([, { above = "" }]) => /°[CF]$/.test(above)) ?? [];
  const limit = scald?.above ?? "";

  test("the two tables agree with each other", () => {
    for (const table of [scaldFahrenheit, scaldCelsius])
      for (const [i, [, seconds]] of table.entries()) expect(seconds).toBeLessThan(table[i - 1]?.[1] ?? Infinity);
    // 120 °F is 49 °C, and both say more than five minutes; 140 °F is 60 °C, and both say some five seconds.
    expect(celsius(120)).toBeCloseTo(49, 0);
    expect(celsius(140)).toBeCloseTo(60, 5);
  });

  test("the demo base's limit is that of the outlets, and the last at which it takes long", () => {
    const degrees = Number(/^(\d+(?:\.\d+)?) ?°C$/.exec(limit)?.[1]);
    expect(degrees).toBeCloseTo(celsius(OUTLET_LIMIT_F), 0);
    expect(degrees).toBe(scaldCelsius.filter(([, seconds]) => seconds > LONG_SECONDS).at(-1)?.[0]);
  });

  test.each(scaldFahrenheit)("a thermometer that can show %d °F: a scald takes %d s", (degrees, seconds) => {
    expect(raises(limit, "°F", degrees)).toBe(seconds < LONG_SECONDS);
  });
  test.each(scaldCelsius)("a thermometer that can show %d °C: a scald takes %d s", (degrees, seconds) => {
    expect(raises(limit, "°C", degrees)).toBe(seconds < LONG_SECONDS);
  });
  test("a limit means more than that, in either unit", () => {
    expect(raises("49 °C", "°C", 49.1)).toBe(true);
    // 49 °C is 120.2 °F.
    expect(raises("49 °C", "°F", 120.1)).toBe(false);
    expect(raises("49 °C", "°F", 120.3)).toBe(true);
    expect(raises("120 °F", "°C", 48.8)).toBe(false);
    expect(raises("120 °F", "°C", 48.9)).toBe(true);
    expect(raises("49 °C", "psi", 150)).toBe(false);
    expect(raises("49 °C", "min", 150)).toBe(false);
  });

  test("a thermometer that ends exactly at the limit in the other unit does not go beyond it", () => {
    expect(raises("49 °C", "°F", 120.2)).toBe(false);
    expect(raises("49 °C", "°F", 120.3)).toBe(true);
  });

  test("the figures in the demo base's text are those of the tables", () => {
    const text = scald?.consequence ?? "";
    const pairs = [...text.matchAll(/(\d+) °C \((\d+) °F\)/g)].map((pair) => pair.slice(1).map(Number));
    expect(pairs.length).toBeGreaterThan(0);
    for (const [c = 0, f = 0] of pairs) expect(Math.abs(celsius(f) - c)).toBeLessThan(0.5);
    // "At 60 °C (140 °F) five seconds are enough."
    const numbers = ["one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"];
    const [, at = "", count = ""] = /(\d+) °C \(\d+ °F\),? (?:in )?(\w+) seconds?/.exec(text) ?? [];
    const seconds = numbers.includes(count) ? numbers.indexOf(count) + 1 : Number(count);
    const [, second = 0, third = 0] = scaldCelsius.find(([degrees]) => degrees === Number(at)) ?? [];
    expect(seconds).toBeGreaterThanOrEqual(second);
    expect(seconds).toBeLessThanOrEqual(third);
  });
});

// ---------------------------------------------------------------- air

describe("air in confined places", () => {
  // 29 CFR 1910.146(b): an atmosphere below 19.5 % or above 23.5 % oxygen is hazardous. 19.5 read in
  // <https://www.bnl.gov/esh/shsd/programs/oxygen-deficiency.php>, 23.5 from memory. There is no lower limit to a hazard in
  // the format: who can measure too little oxygen is in the pit already.
  test.each([
    [20.9, false],
    [23.5, false],
    [23.6, true],
  ])("a meter that can show %d percent of oxygen, with enriched air above 23.5: %s", (upTo, raised) => {
    expect(raises("23.5 %", "%", upTo)).toBe(raised);
  });

  // Definition of a confined space in 29 CFR 1910.146(b), quoted in
  // <https://ohsonline.com/Articles/2005/02/Matters-of-Interpretation.aspx>: a well pit is one, and nobody enters untested.
  test("in the demo base, whoever finds the equipment in a pit does nothing but hand over", () => {
    let asked = 0;
    for (const procedure of procedures) {
      const { steps } = layOut(procedure, base);
      for (const { data, exits } of steps.values())
        for (const way of exits) {
          const answer = data.answers?.[way.by];
          const say = typeof answer === "object" && "say" in answer ? String(answer.say) : way.by;
          if (!/\bpits?\b/i.test(say)) continue;
          asked += 1;
          const next = steps.get(way.to ?? "");
          expect([next?.data.kind, next?.exits]).toEqual(["hand-over", []]);
        }
    }
    expect(asked).toBeGreaterThan(0);
  });
});

// ---------------------------------------------------------------- drains

/**
 * Twice the effective opening, and one inch at least, above the flood rim: New Jersey plumbing code 2018, 9.1, and other
 * model codes alike, <https://up.codes/viewer/new_jersey/nj-plumbing-code-2018/chapter/9/indirect-waste-piping-and-special-wastes>.
 */
const airGapInches = (opening: number): number => Math.max(2 * opening, 1);

describe("air gaps", () => {
  test.each([
    [3 / 8, 1],
    [1 / 2, 1],
    [3 / 4, 1.5],
    [1, 2],
  ])("an opening of %d in asks for %d in", (opening, gap) => {
    expect(airGapInches(opening)).toBe(gap);
  });
  test("every figure for one in the demo base's texts is the published one", () => {
    const texts = [...demoTexts.values()].map((text) => text.replace(/\s+/g, " "));
    const figures = texts.flatMap((text) => [
      ...text.matchAll(/air gap:? (?:of )?(?:at least )?(\d+(?:\.\d+)?) mm \((\d+(?:\.\d+)?) in\)([^.]*)/g),
    ]);
    expect(figures.length).toBeGreaterThan(0);
    for (const [, mm = "", inches = "", more = ""] of figures) {
      // Up to half an inch of opening, which all drain tubes of household units have.
      expect(Number(inches)).toBe(airGapInches(1 / 2));
      expect(Math.abs(Number(mm) - Number(inches) * 25.4)).toBeLessThan(0.5);
      expect(more).toMatch(/twice the opening/);
    }
  });
});

// ---------------------------------------------------------------- the order of isolation

/**
 * OSHA, 29 CFR 1910.147(d)(1) to (6), read on
 * <https://lockout-tagout101.webflow.io/relevant-standards/29-cfr-1910-147-application-of-control>; that those concerned are
 * told before the controls are applied is (c)(9), from memory.
 */
const isolation = ["prepared", "notified", "shut-down", "isolated", "locked", "released", "verified"] as const;
const shown = { title: "T", means: "It is so.", without: "It is not so.", "must-clear": false };

/** A tree with a routine that does these in this order; each step needs what must have been done before it. */
function inOrder(order: readonly string[]): Complaint[] {
  const steps = order.map((name) => {
    const needs = toComeBefore(name);
    return {
      do: `Do what ${name} asks for`,
      ...(needs ? { needs: [needs] } : {}),
      ...(name === "work" ? {} : { sets: [name] }),
    };
  });
  const head = { title: "T", reviewed: { on: DAY, by: "senior technician" } };
  return told(
    file("catalog/more.yaml", { states: Object.fromEntries(isolation.map((name) => [name, shown])) }) +
      file("routines/lock-out.yaml", { ...head, routine: "lock-out", steps }) +
      file("softeners/hard-water.yaml", {
        ...head,
        tree: "hard-water",
        symptom: "hard-water",
        serves: ["dial-softener", "display-softener", "twin-softener"],
        start: "isolate",
        steps: {
          isolate: { use: "lock-out", ...on("end") },
          end: { stop: "The end", kind: "normal" },
        },
      }),
    "need-not-met",
  );
}
const inRightOrder: readonly string[] = [...isolation, "work"];
const toComeBefore = (name: string): string | undefined => inRightOrder[inRightOrder.indexOf(name) - 1];

/** What a plain look along the line finds: states that some step needs and no step before it has brought about. */
const lackedBy = (order: readonly string[]): string[] =>
  order
    .flatMap((name, i) => {
      const needs = toComeBefore(name);
      return needs !== undefined && !order.slice(0, i).includes(needs) ? [needs] : [];
    })
    .sort();
/** What a routine's steps lack is asked of whoever uses it, with the step inside as the place that needs it. */
const lackedIn = (complaints: readonly Complaint[]): string[] =>
  complaints
    .map(({ message, related }) => {
      expect(related?.map(({ at }) => at.file)).toEqual(["routines/lock-out.yaml"]);
      return /^the routine `lock-out`, used at `isolate`, needs `(.+?)`,/.exec(message)?.[1] ?? message;
    })
    .sort();

describe("the order of isolation of 29 CFR 1910.147", () => {
  test("passes when it is kept", () => {
    expect(inOrder(inRightOrder)).toEqual([]);
  });
  test.each(inRightOrder.slice(1).map((name, i) => [name, inRightOrder[i] ?? "", i] as const))(
    "%s before %s is caught",
    (name, other, i) => {
      expect(lackedIn(inOrder(inRightOrder.toSpliced(i, 2, name, other)))).toContain(other);
    },
  );
  test.each(isolation)("leaving out %s is caught", (name) => {
    expect(lackedIn(inOrder(inRightOrder.filter((one) => one !== name)))).toEqual([name]);
  });
  test("any two that change places are caught, by everything that then comes too soon", () => {
    for (const [i, first] of inRightOrder.entries())
      for (const [j, second] of inRightOrder.entries()) {
        if (i >= j) continue;
        const order = inRightOrder.with(i, second).with(j, first);
        expect(lackedBy(order).length).toBeGreaterThan(0);
        expect(lackedIn(inOrder(order)), order.join()).toEqual(lackedBy(order));
      }
  });
});

/** One way from the beginning to an end, as the steps that are done on it; routines that are used are gone into. */
interface Gone {
  readonly steps: readonly { readonly title: string; readonly how: string; readonly sets: readonly string[] }[];
  readonly end: Position;
}
function waysThrough(procedure: ProcedureData, on: readonly string[], family: string): Gone[] {
  const options: WalkOptions = { base, family, counted: "everywhere", mind: {} };
  const gone: Gone[] = [];
  const walk = (position: Position, before: Gone["steps"]): void => {
    const moves = movesFrom(position, options);
    const data = stepAt(position, base)?.data;
    if (moves.length === 0) gone.push({ steps: before, end: position });
    for (const { by, to } of moves) {
      const title = data?.do ?? data?.look ?? data?.measure ?? "";
      const isDone = data && by !== "unlicensed";
      walk(to, isDone ? [...before, { title, how: data.how ?? "", sets: data.sets ?? [] }] : before);
    }
  };
  for (const position of beginning(procedure, on, options)) walk(position, []);
  return gone;
}

describe("the demo base's routines that lock off", () => {
  const locking = Object.values(base.routines).filter((routine) =>
    [...layOut(routine, base).steps.values()].some(({ data }) => data.sets?.includes("locked-off")),
  );
  /**
   * By what a stage of 1910.147(d) is known in a title. Stored energy is let go after the lock is on, and the try comes
   * last. An isolating device is a breaker, a disconnect, a plug or a valve, and never a push button (OSHA's definition,
   * quoted in DOE-HDBK-1092-2004).
   */
  const stages: readonly [name: string, title: RegExp][] = [
    ["prepared", /everything that feeds|know|list/i],
    ["notified", /\btell\b/i],
    ["shut down", /come to rest|shut .*down|stop the/i],
    ["isolated", /(switch|turn) .*off at its (breaker|disconnect)|pull its plug/i],
    ["locked", /\block\b/i],
    ["released", /lost its charge|run a tap|relieve|bleed|drain/i],
    ["verified", /stay still|tester show/i],
  ];
  const waysToWork = locking.flatMap((routine) =>
    Object.keys(base.equipment)
      .filter((family) => procedures.some(({ serves, tree }) => tree && serves?.includes(family)))
      .flatMap((family) => waysThrough(routine, [], family))
      .filter(({ end }) => end.on.includes("locked-off") && end.on.includes("proven-still")),
  );

  test("there are such, and ways through them by which work may begin", () => {
    expect(locking.length).toBeGreaterThan(0);
    expect(waysToWork.length).toBeGreaterThan(0);
  });
  test("keep the order on every way by which work may begin", () => {
    for (const { steps } of waysToWork) {
      const titles = steps.map(({ title }) => title);
      const places = stages.map(([, title]) => titles.findIndex((one) => title.test(one)));
      const order = stages.map(([name], i) => `${name}: ${titles[places[i] ?? -1] ?? "nowhere"}`).join("\n");
      expect(places, order).not.toContain(-1);
      expect(
        places.every((place, i) => i === 0 || place > (places[i - 1] ?? -1)),
        order,
      ).toBe(true);
      // The lock is the state that the rest relies on.
      expect(steps[places[4] ?? -1]?.sets).toContain("locked-off");
    }
  });
  // 1910.333(b)(2)(iv), OSHA letter of 16 November 2000; that the tester is tried on a live point before and after is from memory.
  test("test for voltage live, dead and live again before anything counts as dead", () => {
    let tested = 0;
    for (const routine of Object.values(base.routines))
      for (const { data } of layOut(routine, base).steps.values())
        if (data.tools?.includes("voltage-tester") && data.look !== undefined) {
          tested += 1;
          expect(data.how).toMatch(/known to be live.*each (conductor|terminal).*live point again/s);
          expect(data.needs).toContain("locked-off");
          expect(data.licence).toBe("electrician");
        }
    expect(tested).toBeGreaterThan(0);
  });
  // 1910.147(e), as summed up by Connecticut OSHA,
  // <https://portal.ct.gov/dol/knowledge-base/articles/conn-osha/control-of-hazardous-energy-lockout-tagout>: look over the
  // machine, see that people are clear and tell them, and only then whoever set the lock takes it off.
  test("the lock comes off only after covers and people have been looked after", () => {
    let released = 0;
    for (const procedure of procedures)
      for (const { data } of layOut(procedure, base).steps.values()) {
        if (!data.clears?.includes("locked-off")) continue;
        released += 1;
        // Everything of this procedure up to the step that ends the lock, and this step's own words.
        const own = [...layOut(procedure, base).steps.values()].map((step) => step.data);
        const before = own.slice(0, own.indexOf(data) + 1).map(({ do: title, how }) => `${title}. ${how}`);
        expect(before.join(" ")).toMatch(/every cover is on.*tell everybody.*take your (own )?lock off/is);
      }
    expect(released).toBeGreaterThan(0);
  });
});
