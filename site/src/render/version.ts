/** The version of a tree's page: what a walk that began with it goes on with. */
import { createHash } from "node:crypto";
import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { picturesFolder } from "../base.ts";
import { scriptOf } from "../bundle.ts";

/**
 * Writes the version on <guided-walk>. It names the steps, the pictures that they show and the script that walks them,
 * and nothing else: the day of the build or another tree doesn't change it.
 */
export async function versioned(treeHtml: string): Promise<string> {
  const script = await scriptOf("src/walk/element.ts");
  const hash = createHash("sha256").update(script).update(treeHtml);
  const pictures = picturesFolder();
  for (const [, name = ""] of treeHtml.matchAll(/<img class="picture" src="[^"]*\/pictures\/([^"]+)"/g)) {
    const file = pictures === undefined ? "" : join(pictures, decodeURI(name));
    if (existsSync(file)) hash.update(readFileSync(file));
  }
  const integrity = `sha256-${createHash("sha256").update(script).digest("base64")}`;
  return treeHtml.replace(
    "<guided-walk>",
    `<guided-walk data-version="${hash.digest("base64url").slice(0, 16)}" data-script="${integrity}">`,
  );
}
