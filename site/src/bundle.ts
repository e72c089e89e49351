/** Browser scripts as one classic file each: modules don't load from a disk, and a page needs one request. */
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { Ajv2020 } from "ajv/dist/2020.js";
import standaloneCode from "ajv/dist/standalone/index.js";
import type { Plugin } from "esbuild";
import { catalogueLanguage, decimalMark, loadBase } from "./base.ts";

// Found from the site's own folder at run time: it has a program of its own beside it and can't be bundled.
const { build } = createRequire(`${__SITE_FOLDER__}build.ts`)("esbuild") as typeof import("esbuild");

/** Fonts travel in the style sheet: text that is drawn anew when its font comes moves what is being read. */
export async function smallCss(css: string): Promise<string> {
  const { outputFiles } = await build({
    stdin: { contents: css, loader: "css", resolveDir: `${__SITE_FOLDER__}src/styles` },
    bundle: true,
    loader: { ".woff2": "dataurl" },
    logLevel: "silent",
    minify: true,
    write: false,
  });
  return outputFiles[0]?.text ?? "";
}

/** Writes out what `record/valid.ts` compiles when it is asked: the schema as plain code, without its descriptions. */
const validatorAsCode: Plugin = {
  name: "validator-as-code",
  setup({ onLoad }) {
    onLoad({ filter: /[\\/]record[\\/]valid[.]ts$/ }, () => {
      const text = readFileSync(`${__SITE_FOLDER__}../schema/record.json`, "utf8");
      const schema = JSON.parse(text, (key, value) => (key === "description" ? undefined : value));
      const ajv = new Ajv2020({ code: { source: true, esm: true } });
      const contents = standaloneCode(ajv, { validate: ajv.addSchema(schema, "record") && "record" });
      return { contents, loader: "js", resolveDir: __SITE_FOLDER__ };
    });
  },
};

/** @param entry Below the site's folder: `src/walk/element.ts`. */
export async function bundle(entry: string): Promise<Response> {
  const code = await scriptOf(entry);
  return new Response(code, { headers: { "content-type": "text/javascript; charset=utf-8" } });
}

const made = new Map<string, Promise<string>>();

/** The code of a script, made once in a build; what varies in it follows from the base's language. */
export function scriptOf(entry: string): Promise<string> {
  const name = `${loadBase().language} ${entry}`;
  const code = made.get(name) ?? bundled(entry);
  made.set(name, code);
  return code;
}

async function bundled(entry: string): Promise<string> {
  const { outputFiles } = await build({
    absWorkingDir: __SITE_FOLDER__,
    entryPoints: [entry],
    bundle: true,
    charset: "utf8",
    // One language travels with a script.
    conditions: [catalogueLanguage()],
    define: { __DECIMAL_MARK__: JSON.stringify(decimalMark()) },
    format: "iife",
    legalComments: "none",
    logLevel: "silent",
    minify: true,
    plugins: [validatorAsCode],
    // Private members stay private members: phones of the last five years have them.
    target: "es2022",
    write: false,
  });
  return outputFiles[0]?.text ?? "";
}
