/** A note and photos at a step. A note is kept with every letter; a photo when it has been scaled down. */

import { words } from "#words/visit";
import { button, el, put } from "../measure/dom.ts";
import { deletePhoto, type Photo, photosOf, savePhoto, type Visit } from "../walk/store.ts";
import { scaledDown } from "./picture.ts";

/** By then the step is drawn. */
const PATIENCE_MS = 150;

export interface NotesHere {
  readonly made: HTMLElement;
  /** @param asked Title of the step. */
  show(visit: Visit, step: string, asked: string): void;
}

/**
 * @param now The visit as it stands, which may have gone on since.
 * @param keep Writes the visit, and returns when it is on disk.
 * @param changed Called when the reader has left a changed note, and when a photo has come or gone.
 */
export function notesHere(
  now: () => Visit | undefined,
  keep: (visit: Visit) => Promise<void>,
  changed: () => void,
): NotesHere {
  const summary = el("summary", {});
  const text = el("textarea", { id: "note_text", rows: "3", maxlength: "4000" });
  const input = el("input", {
    id: "note_photo",
    type: "file",
    accept: "image/*",
    capture: "environment",
    "data-act": "photo",
  });
  const status = el("p", { role: "status", "data-note-status": "" });
  const shown = el("ul", { class: "notes" });
  let here = { visit: "", step: "", asked: "" };
  let photos: Photo[] = [];

  const name = () => put(summary, words.note(text.value.trim() !== "", photos.length));
  const list = async () => {
    const asked = here;
    const { visit, step } = asked;
    const found = (await photosOf(visit).catch((): Photo[] => [])).filter((photo) => photo.step === step);
    // The reader may have gone on meanwhile.
    if (here !== asked || (found.length === 0 && photos.length === 0)) return;
    photos = found;
    name();
    shown.replaceChildren(
      ...photos.map(({ photo, jpeg }, place) => {
        const src = URL.createObjectURL(jpeg);
        const picture = el("img", { src, alt: words.photoOf(place + 1) });
        picture.addEventListener("load", () => URL.revokeObjectURL(src));
        const remove = button({ "data-act": "photo-remove" }, words.photoRemove(place + 1));
        remove.addEventListener("click", async () => {
          await deletePhoto(visit, photo);
          await list();
          changed();
          if (here !== asked) return;
          status.textContent = words.photoDeleted;
          summary.focus();
        });
        return el("li", { "data-photo": photo }, picture, remove);
      }),
    );
  };
  text.addEventListener("input", () => {
    name();
    const { visit, step, asked } = here;
    const current = now();
    if (current?.id !== visit) return;
    const { [step]: _, ...others } = current.notes ?? {};
    const note = { asked, text: text.value, when: new Date().toISOString() };
    void keep({ ...current, notes: text.value.trim() === "" ? others : { ...others, [step]: note } });
  });
  text.addEventListener("change", changed);
  input.addEventListener("change", async () => {
    const [file] = input.files ?? [];
    if (file === undefined) return;
    const taker = here;
    const { visit, step, asked } = taker;
    // Not at the step that the reader has gone on to.
    const say = (text: string) => {
      if (here === taker) status.textContent = text;
    };
    const jpeg = await scaledDown(file);
    input.value = "";
    if (jpeg === undefined) return say(words.photoRefused);
    const taken = new Date();
    // By time first, so that they come back in the order in which they were taken.
    const photo = `${taken.getTime()}-${Math.random().toString(36).slice(2, 8)}`;
    try {
      await savePhoto({ visit, photo, step, asked, when: taken.toISOString(), jpeg });
      say(words.photoKept);
      changed();
    } catch {
      say(words.photoNotKept);
    }
    await list();
  });
  const made = el(
    "details",
    { class: "aside", "data-note": "" },
    summary,
    el("p", {}, el("label", { for: text.id }, words.noteLabel), text),
    el("p", {}, el("label", { for: input.id }, words.photo), input),
    el("p", {}, words.photoNote),
    shown,
    status,
  );
  return {
    made,
    show(visit, step, asked) {
      here = { visit: visit.id, step, asked };
      const written = visit.notes?.[step]?.text ?? "";
      if (text.value !== written) text.value = written;
      made.open = written !== "";
      photos = [];
      name();
      put(status, "");
      if (shown.hasChildNodes()) shown.replaceChildren();
      // The step comes first.
      setTimeout(() => void list(), PATIENCE_MS);
    },
  };
}
