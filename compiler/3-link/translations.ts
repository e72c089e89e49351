/** The manifest's further languages, each with the texts of its files. */
import type { TranslatedText, Translation } from "../model/base.ts";
import type { Finding } from "../model/complaint.ts";
import type { ManifestFile, ParsedFile, TranslationFile } from "../model/parsed.ts";
import type { Place, Span } from "../model/source.ts";
import { nearest } from "../words/nearest.ts";

/** Whether the trees exist is asked when all of them are known. */
export function linkTranslations(
  manifest: ManifestFile | undefined,
  files: readonly TranslationFile[],
  findings: Finding[],
): ReadonlyMap<string, Translation> {
  const linked = new Map<string, Translation & { texts: Map<string, TranslatedText>; again: TranslatedText[] }>();
  const offered = manifest?.data.translations ?? {};
  for (const [language, trees] of Object.entries(offered)) {
    if (!manifest) break;
    const at = placeIn(manifest, manifest.positions.key(offered, language));
    if (language === manifest.data.language)
      findings.push({
        rule: "invalid-shape",
        at,
        message: `\`${language}\` is the language of the base itself`,
        hint: "delete it here, or correct `language:`",
        about: language,
      });
    else
      linked.set(language, {
        language,
        at,
        trees: trees.map((id, index) => ({ id, at: placeIn(manifest, manifest.positions.value(trees, index)) })),
        texts: new Map(),
        again: [],
      });
  }
  for (const file of files) {
    const { language, texts } = file.data;
    const { positions } = file;
    const [, folder] = file.path.split("/");
    const into = linked.get(language);
    if (folder !== language)
      findings.push({
        rule: "invalid-shape",
        at: placeIn(file, positions.value(file.data, "language")),
        message: `this file is for \`${language}\`, and does not lie in \`translations/${language}/\``,
        hint: "move the file, or correct the language",
        about: language,
      });
    else if (manifest && !into) {
      const near = nearest(language, linked.keys());
      findings.push({
        rule: "unknown-reference",
        at: placeIn(file, positions.value(file.data, "language")),
        message: `no tree is offered in \`${language}\``,
        hint: near ? `\`${near}\` may be meant` : "name the trees under `translations:` in headwater.yaml",
        about: language,
      });
    }
    if (!into || folder !== language) continue;
    for (const [key, text] of Object.entries(texts)) {
      const of = key.trim();
      const keyAt = placeIn(file, positions.key(texts, key));
      const entry = { of, text, file, keyAt, at: placeIn(file, positions.value(texts, key)) };
      const earlier = into.texts.get(of);
      if (!earlier) into.texts.set(of, entry);
      else if (earlier.text.trim() !== text.trim()) into.again.push(entry);
    }
  }
  return linked;
}

function placeIn({ path }: ParsedFile, span: Span = { start: 0, end: 0 }): Place {
  return { file: path, ...span };
}
