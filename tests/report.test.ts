/** How complaints are shown: the line at fault, the mark under it, and the same facts as data. */
import { describe, expect, test } from "vitest";
import { exampleInput } from "../compiler/examples.ts";
import {
  Compiler,
  type Complaint,
  check,
  emit,
  LineIndex,
  renderComplaint,
  renderTerminal,
  reportOf,
  Sources,
} from "../compiler/index.ts";
import { notProven } from "../compiler/model/compiled.ts";
import { type Excerpt, excerptOf } from "../compiler/report/excerpt.ts";
import { complaintHtml } from "../compiler/report/html.ts";
import { renderProof } from "../compiler/report/proof.ts";
import { familyWords, summaryOf } from "../compiler/report/words.ts";
import { DAY, exampleBase } from "./annotations.ts";

/** The excerpt for the first place in `text` where `marked` stands. */
function excerpt(text: string, marked: string): Excerpt {
  const start = text.indexOf(marked);
  if (start < 0) throw new Error("there is nothing to mark");
  return at(text, start, start + marked.length);
}
function at(text: string, start: number, end: number): Excerpt {
  return excerptOf({ file: "a.yaml", start, end }, new Sources([{ path: "a.yaml", text }]));
}
/** The line, and the mark under it as it comes out on a terminal. */
const drawn = ({ text, markAt, markLength }: Excerpt): string[] => [text, " ".repeat(markAt) + "^".repeat(markLength)];

describe("lines and columns", () => {
  test("count from 1, and columns in UTF-16 code units", () => {
    const index = new LineIndex("ab\n😀c\n");
    expect(index.position(0)).toEqual({ line: 1, column: 1 });
    expect(index.position(2)).toEqual({ line: 1, column: 3 });
    expect(index.position(3)).toEqual({ line: 2, column: 1 });
    expect(index.position(5)).toEqual({ line: 2, column: 3 });
    expect(index.position(7)).toEqual({ line: 3, column: 1 });
    expect([index.count, index.line(2), index.line(3), index.line(4)]).toEqual([3, "😀c", "", ""]);
  });
  test.each([
    ["line feed", "\n"],
    ["carriage return and line feed", "\r\n"],
    ["carriage return", "\r"],
  ])("lines end with a %s", (_, end) => {
    const text = ["one", "two", "", "four"].join(end);
    const index = new LineIndex(text);
    expect(index.count).toBe(4);
    expect([1, 2, 3, 4].map((line) => index.line(line))).toEqual(["one", "two", "", "four"]);
    expect(index.position(text.indexOf("four"))).toEqual({ line: 4, column: 1 });
  });
  test("an empty text has one line", () => {
    expect(new LineIndex("").count).toBe(1);
    expect(new LineIndex("").position(0)).toEqual({ line: 1, column: 1 });
  });
});

describe("the excerpt", () => {
  test("a word in the middle of a line", () => {
    const { line, column, ...rest } = excerpt("a: 1\nbee: honey # sweet\n", "honey");
    expect({ line, column }).toEqual({ line: 2, column: 6 });
    expect(drawn({ line, column, ...rest })).toEqual(["bee: honey # sweet", "     ^^^^^"]);
  });
  test("tabs become four blanks, before the mark and within it", () => {
    expect(drawn(excerpt("a:\tb\tc", "b\tc"))).toEqual(["a:    b    c", "      ^^^^^^"]);
    expect(drawn(excerpt("\tc", "\t"))).toEqual(["    c", "^"]);
    expect(excerpt("a:\tbee", "bee").column).toBe(4);
  });
  test("wide characters take two places, combined ones take one", () => {
    expect(drawn(excerpt("水: bee", "bee"))).toEqual(["水: bee", "    ^^^"]);
    expect(drawn(excerpt("a: 水箱", "水箱"))).toEqual(["a: 水箱", "   ^^^^"]);
    expect(drawn(excerpt("a: 😀 bee", "bee"))).toEqual(["a: 😀 bee", "      ^^^"]);
    // One sign on the screen, made of five characters; and a letter with its accent apart.
    expect(drawn(excerpt("👩\u200d🔧: bee", "bee"))).toEqual(["👩\u200d🔧: bee", "    ^^^"]);
    expect(drawn(excerpt("cafe\u0301: bee", "bee"))).toEqual(["cafe\u0301: bee", "      ^^^"]);
  });
  test("columns are those of the file, whatever the screen shows", () => {
    expect(excerpt("😀: bee", "bee").column).toBe(5);
  });
  test("carriage returns are no part of the line", () => {
    const text = "a: 1\r\nb: two\r\nc: 3\r\n";
    expect(drawn(excerpt(text, "two"))).toEqual(["b: two", "   ^^^"]);
    expect(drawn(at(text, text.indexOf("two"), text.indexOf("c")))).toEqual(["b: two", "   ^^^"]);
    expect(excerpt(text, "two")).toMatchObject({ line: 2, column: 4 });
  });
  test("a byte order mark takes no room", () => {
    expect(drawn(excerpt("\ufeffbee: 1", "bee"))).toEqual(["bee: 1", "^^^"]);
    expect(excerpt("\ufeffbee: 1", "bee").column).toBe(2);
  });
  test("a place over several lines is shown by its first", () => {
    const text = "steps:\n  - one\n  - two\nend: 1";
    expect(drawn(at(text, 0, text.length))).toEqual(["steps:", "^^^^^^"]);
    expect(drawn(at(text, text.indexOf("- one"), text.indexOf("end")))).toEqual(["  - one", "  ^^^^^"]);
  });
  test("blanks at the end of a place are not marked", () => {
    expect(drawn(at("a: bee   \nb: 1", 3, 10))).toEqual(["a: bee   ", "   ^^^"]);
  });
  test("the end of the file, and places without extent", () => {
    expect(drawn(at("a: 1", 4, 4))).toEqual(["a: 1", "    ^"]);
    expect(drawn(at("a: 1\n", 5, 5))).toEqual(["", "^"]);
    expect(at("a: 1\n", 5, 5)).toMatchObject({ line: 2, column: 1 });
    expect(drawn(at("a: 1", 2, 2))).toEqual(["a: 1", "  ^"]);
    expect(drawn(at("", 0, 0))).toEqual(["", "^"]);
  });
  test("a file without text has an empty line", () => {
    const sources = new Sources([{ path: "a.yaml", unreadable: { why: "too-large", bytes: 3e6 } }]);
    for (const file of ["a.yaml", "unknown.yaml"])
      expect(excerptOf({ file, start: 0, end: 0 }, sources)).toMatchObject({ line: 1, column: 1, text: "" });
  });
  test("a file that stops being text is shown up to there", () => {
    const before = "a: 1\nb: ";
    const sources = new Sources([{ path: "a.yaml", unreadable: { why: "not-utf-8", before } }]);
    const shown = excerptOf({ file: "a.yaml", start: before.length, end: before.length }, sources);
    expect(shown).toMatchObject({ line: 2, column: 4, text: "b: " });
  });
  test("control characters are shown, not sent to the terminal", () => {
    expect(drawn(excerpt("a: \u001b[31mbee\u0007", "bee"))).toEqual(["a: �[31mbee�", "        ^^^"]);
  });
  describe("long lines", () => {
    const long = (before: number, marked: number, after: number): Excerpt =>
      at("b".repeat(before) + "m".repeat(marked) + "a".repeat(after), before, before + marked);
    test.each([
      [0, 10, 500],
      [500, 10, 0],
      [500, 10, 500],
      [50, 500, 50],
      [500, 500, 500],
      [0, 101, 0],
      [61, 39, 1],
      [60, 1, 40],
      [0, 0, 101],
      [20_000, 20_000, 20_000],
    ])(
      "%i before, %i marked, %i behind: a hundred places at most, the mark under its text",
      (before, marked, after) => {
        const shown = long(before, marked, after);
        expect(shown.text.length).toBeLessThanOrEqual(100);
        expect(shown.column).toBe(before + 1);
        const under = shown.text.slice(shown.markAt, shown.markAt + shown.markLength);
        expect(under).toMatch(marked > 0 ? /^m+(\.\.\.)?$/ : /^a$/);
        expect(shown.text.slice(0, shown.markAt)).toMatch(before > 60 ? /^\.\.\.b+$/ : /^b*$/);
        expect(shown.text.slice(shown.markAt + shown.markLength)).toMatch(/^a*(\.\.\.)?$/);
        if (before <= 60 && before + marked + after <= 100) expect(shown.text).not.toContain("...");
      },
    );
    test("are cut between signs, not within one", () => {
      const shown = at(`${"👩\u200d🔧".repeat(200)}bee`, 1000, 1003);
      expect(shown.text).toMatch(/^\.\.\.(👩\u200d🔧)+bee$/u);
    });
  });
});

const text = `format: 1
routine: lift
title: Lift
reviewed: {on: 2026-10-02, by: us}
start: floor
steps:
  floor:
    look: Dry?
    answers: {dry: lift, wet: lift}
  lift:
    do: Lift the head
    sets: [opened]
    tools: [spaner]
    then: done
`;
const input = exampleInput(`--- # routines/lift.yaml\n${text}`, exampleBase);
const result = check(input, { today: DAY });
const sources = new Sources(input.files);
const complaintOf = (rule: string): Complaint => {
  const found = result.complaints.find((complaint) => complaint.rule === rule);
  if (!found) throw new Error(`nothing is complained of by ${rule}`);
  return found;
};

describe("the terminal", () => {
  test("shows message, place, line, way, reason and hint, in this order", () => {
    const lines = renderComplaint(complaintOf("missing-safety-note"), sources, { color: false, prefix: "base/" });
    expect(lines.split("\n")).toEqual([
      "error[missing-safety-note] `lift` raises `stored-pressure` by setting `opened`, and no caution stands before it",
      "  base/routines/lift.yaml:12:12",
      "",
      "  12 |     sets: [opened]",
      "     |            ^^^^^^",
      "",
      "  way: floor  -> dry  (line 7)",
      "       lift           (line 10)",
      "  why: A reader follows one way, not all of them; one way without the caution is enough for somebody to be hurt.",
      "  hint: add `- hazard: stored-pressure` under `safety:` at `lift`, or at `floor`, which every way passes",
    ]);
  });
  test("names of files and words from them can't steer it", () => {
    const evil = "\u001b[2J\r";
    const complaint: Complaint = {
      ...complaintOf("missing-safety-note"),
      at: { file: `a${evil}.yaml`, start: 0, end: 0 },
      message: `\`${evil}\` is wrong`,
      hint: `not ${evil}`,
      related: [{ at: { file: `b${evil}`, start: 0, end: 0 }, text: evil }],
      way: [],
    };
    const shown = renderComplaint(complaint, sources, { color: false, prefix: evil });
    expect(shown.replaceAll("\n", "")).not.toMatch(/\p{Cc}/u);
  });
  test("says for which equipment, unless it is all of it", () => {
    expect(familyWords({ families: ["a", "b"], allFamilies: false })).toBe("a, b");
    expect(familyWords({ families: ["a", "b"], allFamilies: true })).toBe("");
    expect(familyWords({ families: [] })).toBe("");
    expect(familyWords({})).toBe("");
  });
});

describe("the line that sums up", () => {
  const counts = { files: 1200, trees: 1, routines: 2, graphs: 3 };
  const many = (severity: Complaint["severity"], n: number): Complaint[] =>
    Array(n).fill({ ...complaintOf("missing-safety-note"), severity });
  const summary = (complaints: Complaint[], accepted = 0): string =>
    summaryOf({
      complaints,
      accepted: many("warning", accepted).map((complaint) => ({ complaint, because: "It is so" })),
      counts,
      hasErrors: false,
    });
  const where = "in 1,200 files (1 tree, 2 routines), 3 combinations of tree and equipment";
  test("counts by severity, in words that fit the number", () => {
    expect(summary([])).toBe(`no complaints ${where}`);
    expect(summary(many("error", 1))).toBe(`1 error ${where}`);
    expect(summary([...many("error", 2), ...many("warning", 1)])).toBe(`2 errors, 1 warning ${where}`);
    expect(summary([...many("warning", 2), ...many("advice", 1)])).toBe(`2 warnings, 1 piece of advice ${where}`);
    expect(summary(many("advice", 1500))).toBe(`1,500 pieces of advice ${where}`);
  });
  test("does not hide what was accepted", () => {
    expect(summary([], 2)).toContain("2 accepted with a reason");
    expect(summary(many("error", 1), 1)).toContain("1 error, 1 accepted with a reason");
  });
});

describe("as data", () => {
  const report = reportOf(result, sources);
  test("the whole of it", () => {
    expect(Object.keys(report)).toEqual(["format", "counts", "complaints", "accepted"]);
    expect(report.format).toBe(1);
    expect(report.counts).toEqual({ ...result.counts, errors: 2, warnings: 1, advice: 0 });
    expect(report.complaints.map(({ rule, severity }) => `${severity} ${rule}`)).toEqual([
      "warning unused-entry",
      "error missing-safety-note",
      "error unknown-reference",
    ]);
  });
  test("a complaint, with offsets and with lines and columns", () => {
    const start = text.indexOf("opened");
    const place = (id: string, line: number, column: number) => {
      const at = text.indexOf(`  ${id}:`) + 2;
      return { file: "routines/lift.yaml", line, column, start: at, end: at + id.length };
    };
    expect(report.complaints[1]).toEqual({
      rule: "missing-safety-note",
      severity: "error",
      message: "`lift` raises `stored-pressure` by setting `opened`, and no caution stands before it",
      why: expect.any(String),
      hint: expect.any(String),
      at: { file: "routines/lift.yaml", line: 12, column: 12, start, end: start + 6 },
      excerpt: "    sets: [opened]",
      families: ["dial-softener", "display-softener", "twin-softener"],
      allFamilies: true,
      way: [
        { step: "floor", answer: "dry", at: place("floor", 7, 3) },
        { step: "lift", at: place("lift", 10, 3) },
      ],
      related: [],
    });
  });
  test("every complaint has the same parts, and survives being written and read", () => {
    const parts = ["at", "excerpt", "families", "allFamilies", "message", "related", "rule", "severity", "way", "why"];
    for (const complaint of report.complaints)
      expect(
        Object.keys(complaint)
          .filter((key) => key !== "hint")
          .sort(),
      ).toEqual([...parts].sort());
    expect(JSON.parse(JSON.stringify(report))).toEqual(report);
  });
  test("what was accepted carries its reason", () => {
    const accepting = exampleInput(
      "--- # catalog/more.yaml\nformat: 1\ntools: {mop: {title: Mop}}\naccept: [{rule: unused-entry, because: It comes next month}]\n",
      exampleBase,
    );
    const { complaints, accepted } = reportOf(check(accepting, { today: DAY }), new Sources(accepting.files));
    expect(complaints).toEqual([]);
    expect(accepted).toMatchObject([{ rule: "unused-entry", because: "It comes next month", at: { line: 2 } }]);
  });
});

describe("as HTML", () => {
  test("holds the same facts, and nothing of the file as markup", () => {
    const html = complaintHtml(
      { ...complaintOf("missing-safety-note"), message: "`<b>` is raw", hint: 'write `a < b` & mind "quotes"' },
      sources,
    );
    expect(html).toContain("<code>&lt;b&gt;</code> is raw");
    expect(html).toContain("<code>a &lt; b</code> &amp; mind &quot;quotes&quot;");
    expect(html).toContain("routines/lift.yaml, line 12, column 12");
    expect(html).toMatch(
      /<ol class="complaint-way"><li><code>floor<\/code> → dry<\/li><li><code>lift<\/code><\/li><\/ol>/,
    );
    expect(html).not.toMatch(/<b>`/);
  });
});

describe("the safety proof", () => {
  const input = exampleInput(
    `--- # catalog/more.yaml
format: 1
licences: {electrician: {title: Electrician}}
contacts: {electrician: {title: An electrician, holds: [electrician]}}
symptoms: {dripping: {title: The head drips, says: [It drips], area: softeners}}

--- # softeners/dripping.yaml
format: 1
tree: dripping
title: The head drips
symptom: dripping
serves: [dial-softener, display-softener]
reviewed: {on: 2026-10-02, by: senior technician}
safety: [live-parts]
start: by-control
steps:
  by-control: {sort: equipment.control, cases: {dial: turn, display: choose}}
  turn: {do: Turn the handles, sets: [bypassed], then: lift}
  choose: {do: Choose bypass, sets: [bypassed], then: lift}
  lift:
    do: Lift the head off
    needs: [bypassed]
    sets: [opened]
    safety: [stored-pressure]
    then: lead
  lead:
    do: Take the mains lead off
    licence: electrician
    unlicensed: electrician
    then: electrician
  electrician:
    stop: The lead is the electrician's
    kind: hand-over
    call: electrician
    leaves: {bypassed: The unit is open., opened: The head is off.}
`,
    exampleBase,
  );
  const compiler = new Compiler({ today: DAY });
  const { world, trees } = compiler.linked(input);
  const base = emit(world, trees, DAY);
  const proofs = base.trees.find(({ id }) => id === "dripping")?.proofs ?? [];

  test("says by which steps each need is met, per group of families that meet the same steps", () => {
    expect(compiler.check(input).complaints).toEqual([]);
    expect(proofs.map(({ families, needs }) => ({ families, needs }))).toEqual([
      { families: ["dial-softener"], needs: [{ step: "lift", state: "bypassed", by: [{ step: "turn" }] }] },
      { families: ["display-softener"], needs: [{ step: "lift", state: "bypassed", by: [{ step: "choose" }] }] },
    ]);
  });
  test("says for each hazard what raises it and where its caution stands", () => {
    expect(proofs[0]?.cautions).toEqual([
      { step: "lift", hazard: "stored-pressure", because: { kind: "state", what: "opened" }, at: ["here"] },
      { step: "lead", hazard: "live-parts", because: { kind: "word", what: "mains lead" }, at: ["beginning"] },
    ]);
  });
  test("says where a reader without the licence goes, and what each end leaves, with the reason", () => {
    expect(proofs[0]?.licences).toEqual([{ step: "lead", licence: "electrician", away: "electrician" }]);
    expect(proofs[0]?.ends).toEqual([
      {
        end: "electrician",
        left: [
          { state: "bypassed", reason: "<p>The unit is open.</p>" },
          { state: "opened", reason: "<p>The head is off.</p>" },
        ],
      },
    ]);
  });
  test("claims nothing that has not been proven", () => {
    const faulty = exampleInput(
      `--- # catalog/more.yaml
format: 1
symptoms: {dripping: {title: The head drips, says: [It drips], area: softeners}}

--- # softeners/dripping.yaml
format: 1
tree: dripping
title: The head drips
symptom: dripping
serves: [dial-softener]
reviewed: {on: 2026-10-02, by: senior technician}
start: floor
steps:
  floor: {look: Is the floor dry?, answers: {dry: lift, wet: turn}}
  turn: {do: Turn the handles, sets: [bypassed], safety: [stored-pressure], then: lift}
  lift: {do: Lift the head off, needs: [bypassed], sets: [opened], then: call}
  call: {stop: Call the office, kind: hand-over}
`,
      exampleBase,
    );
    const broken = new Compiler({ today: DAY });
    const linked = broken.linked(faulty);
    const [proof] = emit(linked.world, linked.trees, DAY).trees.find(({ id }) => id === "dripping")?.proofs ?? [];
    expect(proof).toMatchObject({ needs: [], cautions: [] });
    expect(broken.check(faulty).complaints.map(({ rule }) => rule)).toEqual([
      "need-not-met",
      "missing-safety-note",
      "state-left-behind",
      "state-left-behind",
    ]);
  });
  test("reads as a report to be signed, and says what it does not prove", () => {
    const tree = base.trees.find(({ id }) => id === "hard-water");
    if (!tree) throw new Error("the example base has lost its tree");
    const text = renderProof(base, tree);
    expect(text).toMatch(/^Safety proof of hard-water\n/);
    expect(text).toContain("lift-head raises stored-pressure (state: opened): caution at the step itself");
    expect(text).toContain("not-this-unit: bypassed (with its reason)");
    expect(text).toContain("Routine bypass-test, for dial-softener, display-softener, twin-softener");
    for (const line of notProven) expect(text).toContain(`  - ${line}\n`);
    expect(text).toMatch(/Signed: _+ {2}Date: _+\n$/);
  });
});

describe("states on a way", () => {
  const unmet = exampleInput(
    `--- # catalog/more.yaml
format: 1
symptoms: {dripping: {title: The head drips, says: [It drips], area: softeners}}

--- # softeners/dripping.yaml
format: 1
tree: dripping
title: The head drips
symptom: dripping
serves: [dial-softener]
reviewed: {on: 2026-10-02, by: senior technician}
start: turn
steps:
  turn: {do: Turn the handles, sets: [bypassed], then: back}
  back: {use: back-to-service, then: lift}
  lift: {do: Lift the lid, needs: [bypassed], then: call}
  call: {stop: Call the office, kind: hand-over}
`,
    exampleBase,
  );
  const told = check(unmet, { today: DAY });
  const files = new Sources(unmet.files);
  test("stand in a column of their own on a terminal", () => {
    expect(renderTerminal(told, files, { color: false, prefix: "" })).toContain(`
  way: turn  ->       (line 9)   [bypassed]
       back  -> done  (line 10)  [nothing]
       lift           (line 11)  [nothing]
  meaning: The house water still goes through the unit
`);
  });
  test("are data in JSON, and words in HTML", () => {
    const [complaint] = reportOf(told, files).complaints;
    expect(complaint?.meaning).toBe("The house water still goes through the unit");
    expect(complaint?.way.map(({ step, states }) => ({ step, states }))).toEqual([
      { step: "turn", states: ["bypassed"] },
      { step: "back", states: [] },
      { step: "lift", states: [] },
    ]);
    const [first] = told.complaints;
    if (!first) throw new Error("nothing is complained of");
    const html = complaintHtml(first, files);
    expect(html).toContain("[bypassed]");
    expect(html).toContain("The house water still goes through the unit");
  });
});
