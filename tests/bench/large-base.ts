/**
 * A base of any size in the manner of a real one: trees of 25 steps with sorts, measurements, routines, remedies, proofs
 * and cautions, three families each. The same number gives the same base. The figures in it mean nothing.
 */
import type { SourceFile } from "../../compiler/index.ts";

const MANIFEST = `format: 1
base: bench
title: Bench base
owner: nobody (generated)
language: en
notice: Local codes, the maker's manual and licensed trades come first.
areas: {units: Units}
`;

const CATALOG = `format: 1
symptoms:
${Array.from({ length: 40 }, (_, i) => `  symptom-${i}: {title: Symptom number ${i}, says: [it does thing ${i}, something ${i} is wrong], area: units}`).join("\n")}
causes:
${Array.from({ length: 60 }, (_, i) => `  cause-${i}: {title: Cause number ${i}, what: Part ${i} has worn, symptoms: [symptom-${i % 40}]}`).join("\n")}
equipment:
${Array.from({ length: 12 }, (_, i) => `  family-${i}: {title: Family ${i}, looks: A grey box with ${i} knobs, area: units, facts: {drive: ${i % 2 ? "motor" : "clock"}, pistons: ${i % 3}}}`).join("\n")}
states:
  bypassed: {title: Bypassed, means: Water goes round the unit, without: Water goes through the unit}
  pressure-relieved: {title: Pressure relieved, means: Nothing presses inside, without: The unit is under pressure}
  opened: {title: Opened, means: A part that holds pressure is apart, without: The unit is closed, raises: [stored-pressure]}
hazards:
  stored-pressure: {title: Stored pressure, signal: warning, sign: W029, consequence: Parts fly off, precaution: Let the pressure out first, words: [under pressure, unscrew*]}
  mains: {title: Mains, signal: danger, sign: W012, consequence: It kills, precaution: Leave covers shut, words: [breaker, mains]}
tools:
${Array.from({ length: 12 }, (_, i) => `  tool-${i}: {title: Tool ${i}}`).join("\n")}
parts:
${Array.from({ length: 12 }, (_, i) => `  part-${i}: {title: Part ${i}}`).join("\n")}
contacts:
  senior: {title: The senior technician}
`;

function routine(number: number): string {
  return `format: 1
routine: routine-${number}
title: Routine number ${number}
reviewed: {on: 2026-10-02, by: the generator}
safety:
  - hazard: stored-pressure
    note: Open the drain and wait until nothing more comes.
start: turn
outcomes: {stops: It stops, keeps-on: It keeps on}
steps:
  turn:
    do: Turn both handles across the pipe
    how: Push the handles to their stops. Count to ten. Watch the drain end while you wait.
    minutes: 2
    then: relieve
  relieve:
    do: Let the pressure out
    minutes: 3
    sets: [bypassed, pressure-relieved]
    then: watch
  watch:
    look: Does the water at the drain end stop?
    minutes: 1
    answers: {yes: stops, no: keeps-on}
`;
}

/** The same trees with one reading at each measurement and nothing to compute. */
export function withoutFormulas(base: readonly SourceFile[]): SourceFile[] {
  return base.map((file) =>
    "text" in file
      ? {
          ...file,
          text: file.text
            .replaceAll("      time: {ask: Time it took, unit: s, between: [5, 600]}\n", "")
            .replaceAll("    value: {flow: volume / time, unit: L/min}\n", ""),
        }
      : file,
  );
}

/** @param number Makes the tree's choices, so that trees differ in names and ways, not in size. */
function tree(number: number, routines: number): string {
  const family = (k: number): string => `family-${(number + k) % 12}`;
  const cause = (k: number): string => `cause-${(number * 7 + k) % 60}`;
  const steps: string[] = [];
  const checks = 17;
  for (let k = 0; k < checks; k++) {
    const next = k + 1 < checks ? `check-${k + 1}` : "found-last";
    if (k === 3)
      steps.push(`  check-3:
    sort: equipment.drive
    cases: {motor: check-4, clock: check-5}`);
    else if (k % 4 === 1 || k === 15)
      steps.push(`  check-${k}:
    measure: Flow at the drain, measurement ${k} of tree ${number}
    how: Hold the bucket under the drain end. Start the watch when the first water falls in. Stop it at the mark.
    why: A trickle speaks for worn seals, a full stream for a piston that stands between two positions.
    minutes: ${2 + (k % 5)}
    tools: [tool-${k % 12}]
    readings:
      volume: {ask: Water caught in the bucket, unit: L, between: [0, 40]}
      time: {ask: Time it took, unit: s, between: [5, 600]}
    value: {flow: volume / time, unit: L/min}
    normally: [none, stream]
    ranges:
      none: {below: 0.05, say: Nothing worth speaking of, then: ${next}}
      trickle: {from: 0.05, below: 2, say: A trickle, then: found-${k % 4}}
      stream: {from: 2, say: A stream, then: ${next}}`);
    else if (k === 6)
      steps.push(`  check-6:
    use: routine-${number % routines}
    normally: stops
    outcomes: {stops: check-7, keeps-on: elsewhere}`);
    else if (k === 10)
      steps.push(`  check-10:
    do: Close the bypass again and let the unit fill slowly
    how: Turn one handle a quarter, wait until the hiss ends, then turn it all the way.
    minutes: 3
    clears: [bypassed, pressure-relieved]
    then: ${next}`);
    else
      steps.push(`  check-${k}:
    look: What does the display of the unit show now, look number ${k} of tree ${number}?
    how: Stand in front of the unit. Read the whole line, *twice*. Wait for a full minute if it changes.
    why: The display tells whether the unit believes that it is in a cycle.
    minutes: ${1 + (k % 3)}
    normally: time-of-day
    answers:
      time-of-day: {say: The time of day, then: ${next}}
      minutes-left: {say: Minutes that count down, then: ${k % 3 === 0 ? "in-a-cycle" : next}}
      nothing: {say: Nothing at all, then: found-${k % 4}}`);
  }
  for (let k = 0; k < 4; k++)
    steps.push(`  found-${k}:
    found: ${cause(k)}
    parts: [part-${k}]
    remedy:
      - do: Take the drive assembly off the valve body
        how: Undo the two screws. Lift the drive straight up.
        minutes: 10
        sets: [opened]
        safety: [{hazard: stored-pressure, note: Open the drain before you undo the last screw.}]
      - do: Change the worn part and put everything back in its order
        needs: [opened]
      - do: Close the unit and open the bypass
        clears: [opened, bypassed, pressure-relieved]
    prove: {look: Has the drain been dry for ten minutes?, minutes: 10, fixed: done, not-fixed: call-senior}`);
  return `format: 1
tree: tree-${number}
title: Tree number ${number}
symptom: symptom-${number % 40}
serves: [${family(0)}, ${family(1)}, ${family(2)}]
reviewed: {on: 2026-10-02, by: the generator}
start: check-0
causes:
${[0, 1, 2, 3, 4].map((k) => `  ${cause(k)}: {likelihood: ${10 + k}, shows: ${["{check-0: nothing}", "{check-1: trickle}", "{check-2: nothing}", "{check-7: nothing}", "{check-8: [time-of-day, minutes-left], check-9: none}"][k]}}`).join("\n")}
steps:
${steps.join("\n\n")}

  found-last:
    found: ${cause(4)}
    remedy:
      - do: Set the clock and explain the cycle to the customer
        clears: [bypassed, pressure-relieved]
    prove: {look: Does the display show the time of day?, fixed: done, not-fixed: call-senior}

  in-a-cycle:
    stop: The unit is in a cycle, which is as it should be
    kind: normal
    leaves: {bypassed: The house has water, pressure-relieved: Nothing is open}

  elsewhere:
    stop: The water comes from somewhere else
    kind: elsewhere
    leaves: {bypassed: The house has water, pressure-relieved: Nothing is open}

  call-senior:
    stop: Call the senior technician
    kind: hand-over
    call: senior
    leaves: {bypassed: The house has water, pressure-relieved: Nothing is open}
`;
}

export function largeBase(trees: number, routines = 10): SourceFile[] {
  return [
    { path: "headwater.yaml", text: MANIFEST },
    { path: "catalog/all.yaml", text: CATALOG },
    ...Array.from({ length: routines }, (_, i) => ({ path: `routines/routine-${i}.yaml`, text: routine(i) })),
    ...Array.from({ length: trees }, (_, i) => ({
      path: `area-${i % 20}/tree-${i}.yaml`,
      text: tree(i, routines),
    })),
  ];
}
