import { loadBase } from "../base.ts";
import { indexScript, symptomEntries } from "../find/entries.ts";

export const GET = () => indexScript(symptomEntries(loadBase()));
