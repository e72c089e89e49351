/** The texts of the interface, by language and part, as the tests look through them. */
import { readdirSync } from "node:fs";

// Texts take what they are given; which parameters each has is for the type checker.
export type Text = string | ((...parts: never[] | unknown[]) => unknown);

/** By the names of their parts. */
export async function catalogues(language: string): Promise<Readonly<Record<string, unknown>>> {
  const folder = new URL(`../site/src/words/${language}/`, import.meta.url);
  const parts = readdirSync(folder).sort();
  const read = parts.map(async (file) => {
    const { words } = (await import(new URL(file, folder).href)) as { readonly words: unknown };
    return [file.replace(".ts", ""), words] as const;
  });
  return Object.fromEntries(await Promise.all(read));
}

/** By the names of their keys, with dots between. */
export function flat(texts: unknown, before = ""): Map<string, Text> {
  return new Map(
    Object.entries(texts as Readonly<Record<string, unknown>>).flatMap(([key, value]) =>
      typeof value === "object" && value !== null
        ? [...flat(value, `${before}${key}.`)]
        : [[before + key, value as Text] as const],
    ),
  );
}
