/** The signal words of ANSI Z535.6, and the page that explains them. */
export const words = {
  signals: { danger: "danger", warning: "warning", caution: "caution", notice: "notice" },
  title: "Signal words and signs",
  intro: "A caution stands before the step that it is about. Read it before you touch anything.",
  meanings: {
    danger: "Will kill or badly hurt someone if it is not avoided.",
    warning: "Can kill or badly hurt someone if it is not avoided.",
    caution: "Can hurt someone, less badly, if it is not avoided.",
    notice: "Nobody is hurt, but things or water can be spoilt.",
  },
  words: "The signal words",
  hazards: "The hazards",
} as const;
