/* Generated from the listing of compiler/checks by `npm run generate`. Don't edit. */
import type { Rule } from "../5-analyse/rule.ts";
import betterOrder from "./better-order.ts";
import branchWithoutCause from "./branch-without-cause.ts";
import caseAstray from "./case-astray.ts";
import caseMissing from "./case-missing.ts";
import caseUnused from "./case-unused.ts";
import causeMisled from "./cause-misled.ts";
import causeNotCovered from "./cause-not-covered.ts";
import causeStranded from "./cause-stranded.ts";
import causesAlike from "./causes-alike.ts";
import deadEnd from "./dead-end.ts";
import duplicateId from "./duplicate-id.ts";
import exampleFails from "./example-fails.ts";
import implausibleBounds from "./implausible-bounds.ts";
import impossibleBranch from "./impossible-branch.ts";
import invalidFormula from "./invalid-formula.ts";
import invalidShape from "./invalid-shape.ts";
import invalidYaml from "./invalid-yaml.ts";
import longSentence from "./long-sentence.ts";
import loopWithoutLimit from "./loop-without-limit.ts";
import missingPicture from "./missing-picture.ts";
import missingSafetyNote from "./missing-safety-note.ts";
import needNotMet from "./need-not-met.ts";
import otherTerm from "./other-term.ts";
import rangeGap from "./range-gap.ts";
import rangeOverlap from "./range-overlap.ts";
import staleReview from "./stale-review.ts";
import stateLeftBehind from "./state-left-behind.ts";
import translationAstray from "./translation-astray.ts";
import translationMissing from "./translation-missing.ts";
import translationTwice from "./translation-twice.ts";
import translationUnused from "./translation-unused.ts";
import unitMismatch from "./unit-mismatch.ts";
import unitStyle from "./unit-style.ts";
import unknownReference from "./unknown-reference.ts";
import unlicensedWork from "./unlicensed-work.ts";
import unprovenRemedy from "./unproven-remedy.ts";
import unreachableStep from "./unreachable-step.ts";
import unsafeInput from "./unsafe-input.ts";
import unusedEntry from "./unused-entry.ts";
import vagueWord from "./vague-word.ts";
import weakSignalWord from "./weak-signal-word.ts";

export const rules: readonly Rule[] = [
  betterOrder,
  branchWithoutCause,
  caseAstray,
  caseMissing,
  caseUnused,
  causeMisled,
  causeNotCovered,
  causeStranded,
  causesAlike,
  deadEnd,
  duplicateId,
  exampleFails,
  implausibleBounds,
  impossibleBranch,
  invalidFormula,
  invalidShape,
  invalidYaml,
  longSentence,
  loopWithoutLimit,
  missingPicture,
  missingSafetyNote,
  needNotMet,
  otherTerm,
  rangeGap,
  rangeOverlap,
  staleReview,
  stateLeftBehind,
  translationAstray,
  translationMissing,
  translationTwice,
  translationUnused,
  unitMismatch,
  unitStyle,
  unknownReference,
  unlicensedWork,
  unprovenRemedy,
  unreachableStep,
  unsafeInput,
  unusedEntry,
  vagueWord,
  weakSignalWord,
];
