/** The version of a tree's page: what a walk that began with it goes on with. */
import { createHash, type Hash } from "node:crypto";
import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { picturesFolder } from "../base.ts";
import { scriptOf } from "../bundle.ts";

/** The script that walks the steps, as the version and the page name it: once for all pages of a build. */
let walk: { readonly script: string; readonly begun: Hash; readonly integrity: string } | undefined;

async function walkScript() {
  const script = await scriptOf("src/walk/element.ts");
  if (walk?.script !== script) {
    const begun = createHash("sha256").update(script);
    walk = { script, begun, integrity: `sha256-${begun.copy().digest("base64")}` };
  }
  return walk;
}

/**
 * Writes the version on <guided-walk>. It names the steps, the pictures that they show and the script that walks them,
 * and nothing else: the day of the build or another tree doesn't change it.
 */
export async function versioned(treeHtml: string): Promise<string> {
  const { begun, integrity } = await walkScript();
  const hash = begun.copy().update(treeHtml);
  const pictures = picturesFolder();
  for (const [, name = ""] of treeHtml.matchAll(/<img class="picture" src="[^"]*\/pictures\/([^"]+)"/g)) {
    const file = pictures === undefined ? "" : join(pictures, decodeURI(name));
    if (existsSync(file)) hash.update(readFileSync(file));
  }
  return treeHtml.replace(
    "<guided-walk>",
    `<guided-walk data-version="${hash.digest("base64url").slice(0, 16)}" data-script="${integrity}">`,
  );
}
