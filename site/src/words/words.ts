/** The shape of a catalogue in another language: the same texts, and the same parameters where a text takes any. */
export type Words<English> = English extends string
  ? string
  : English extends (...parts: infer Parts) => string
    ? (...parts: Parts) => string
    : { readonly [Key in keyof English]: Words<English[Key]> };
