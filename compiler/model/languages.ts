/** Languages that the pages themselves speak; in any other they speak English around a base's own texts. */
export const INTERFACE_LANGUAGES = ["en", "es"] as const;
