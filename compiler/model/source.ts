/** Files as the loader hands them over, and places in them. */

/**
 * One file of a base. `path` is relative to the base, with forward slashes. A file that could not be read as text
 * carries the reason instead, so that it is complained of in its turn.
 */
export type SourceFile =
  | { readonly path: string; readonly text: string }
  | { readonly path: string; readonly unreadable: Unreadable };

type Unreadable =
  | { readonly why: "too-large"; readonly bytes: number }
  | { readonly why: "not-utf-8" /** Text before the first bad byte. */; readonly before: string }
  | { readonly why: "no-access"; readonly message: string };

/** Half-open, in UTF-16 code units from the start of the file's text. */
export interface Span {
  readonly start: number;
  readonly end: number;
}

export interface Place extends Span {
  readonly file: string;
}

/** Files larger than this are refused unread: no honest tree comes near it, and a mistaken one must not stall a check. */
export const MAX_FILE_BYTES = 2_000_000;

/** Whether a file of the pictures folder is shown. Another kind may be a page or a program, and stays out of the site. */
export function isPicture(path: string): boolean {
  return isDrawing(path) || /\.(?:png|jpe?g|webp|avif|gif)$/i.test(path);
}

/** Whether a picture is read for its safety: of the kinds that are shown, a browser would run this one alone. */
export function isDrawing(path: string): boolean {
  return /\.svg$/i.test(path);
}
