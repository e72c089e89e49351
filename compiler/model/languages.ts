/** Languages that the site's interface has a catalogue for, by the primary subtag of the base's language. */
export const INTERFACE_LANGUAGES = ["en", "es"] as const;
