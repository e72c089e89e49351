import { loadBase } from "../base.ts";
import { formulaEntries, indexScript } from "../find/entries.ts";

export const GET = () => indexScript(formulaEntries(loadBase()));
