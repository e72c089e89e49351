/**
 * Own drawings of warning signs in the manner of ISO 3864 (yellow triangle, black border and figure; blue disc for what
 * must be done; red ring for what must not), by ISO 7010 code, and of the safety alert symbol of ANSI Z535.6. They are
 * drawn from the description of what each sign shows, and stand beside words, never instead of them.
 */
import { escapeText } from "./html.ts";

// Figures are drawn in a box of 48 by 44; the triangle's inner room is about 20 wide at y = 32.
const line = 'fill="none" stroke="#111" stroke-width="2.2" stroke-linecap="round" stroke-linejoin="round"';

const FIGURES: Readonly<Record<string, string>> = {
  // General: an exclamation mark.
  W001: '<path d="M22 15h4l-.8 13.4h-2.4z"/><circle cx="24" cy="33.6" r="2.3"/>',
  // Biological: three open rings around a centre.
  W009: `<g ${line}><circle cx="24" cy="21.5" r="4"/><circle cx="19.6" cy="29.6" r="4"/><circle cx="28.4" cy="29.6" r="4"/></g><circle cx="24" cy="27" r="1.7"/>`,
  // Slippery surface: a figure losing its footing.
  W011: `<circle cx="19.6" cy="17.4" r="2.3"/><path ${line} d="M21 21l2.6 6.2 7 2.6M23.6 27.2l-4.4 6M22 22.4l6-1.2M21.4 22l-4 3.4M15 36.4h6M25 36.4h8"/>`,
  // Electricity: a flash.
  W012: '<path d="M26.6 13.5L18 27h5.2l-3 11 10.6-14.4h-5.4l4-10.1z"/>',
  // Toxic: skull over crossed bones.
  W016: `<path ${line} d="M15.6 30.6l16.8 6.2M32.4 30.6l-16.8 6.2"/><path d="M24 14.6c-3.9 0-6.4 2.7-6.4 6.2 0 2.3 1.1 3.8 2.5 4.8v3.2h7.8v-3.2c1.4-1 2.5-2.5 2.5-4.8 0-3.5-2.5-6.2-6.4-6.2z"/><g fill="#ffd100"><circle cx="21.6" cy="21.6" r="1.6"/><circle cx="26.4" cy="21.6" r="1.6"/></g>`,
  // Hot surface: heat rising from a plate.
  W017: `<path ${line} d="M18 31.4c-2.6-3.4 2.6-4.6 0-8.4M24 31.4c-2.8-4.6 2.8-7 0-12.4M30 31.4c-2.6-3.4 2.6-4.6 0-8.4M14.6 36h18.8"/>`,
  // Automatic start-up: a turning arrow around a drive.
  W018: `<path ${line} d="M30.4 23.4a7.4 7.4 0 1 0 .9 5.8"/><path d="M32.8 18.6v6.8h-6.6z"/><circle cx="24" cy="27.6" r="2.4"/>`,
  // Flammable: a flame over a ground line.
  W021: `<path d="M24.6 14.4c.6 4 5.8 6.6 5.8 11.8a6.2 6.2 0 0 1-12.4 0c0-2.8 1.4-4.4 2.6-5.8.2 1.6.8 2.4 1.6 2.8-.4-3.6.6-6.6 2.4-8.8z"/><path ${line} d="M15.6 36h16.8"/>`,
  // Corrosive: a tipped vessel dripping on a bar that gives way.
  W023: `<path ${line} d="M18.4 16.8l9 3.6M17.6 19l8.2 3.2"/><path d="M26.6 24.4c1.6 2 1.6 3.6 0 3.6s-1.6-1.6 0-3.6z"/><path d="M14.6 32.2h8.6c1.2 0 1.2 1.8 2.6 1.8 1.6 0 1.4-1.8 3-1.8h4.6V37H14.6z"/>`,
  // Optical radiation: rays from a point.
  W027: `<circle cx="24" cy="27" r="2.6"/><path ${line} d="M24 20.4v-4M24 37v-3.4M29 23.4l2.4-2.4M19 23.4L16.6 21M30.6 28.6l3.4.8M17.4 28.6l-3.4.8M28.2 32.4l2 2.6M19.8 32.4l-2 2.6" stroke-width="1.8"/>`,
  // Pressurised cylinder: an upright vessel with its valve.
  W029: `<path d="M20 36.8V24.6c0-2.6 1.6-4 4-4s4 1.4 4 4v12.2z"/><path ${line} d="M24 20v-4M21.4 16h5.2"/><path d="M20 29h8" stroke="#ffd100" stroke-width="1.6"/>`,
  // Air that can't be breathed: a figure down on its knees under haze.
  W041: `<path ${line} stroke-width="1.8" d="M17.4 21c1.8-1.6 3-1.6 4.6 0s2.8 1.6 4.4 0 2.8-1.6 4.2 0M20.6 16.8c1.2-1 2-1 3.4 0s2.2 1 3.4 0"/><circle cx="18" cy="28.6" r="2.3"/><path ${line} d="M20.4 30.6c3 .2 5.6 1 7.2 3.4H32M21.6 31.6l-1.8 4.6M15 36.6h18"/>`,
};

const TRIANGLE =
  '<path d="M24 3.2L45.4 41H2.6z" fill="#ffd100" stroke="#111" stroke-width="3.2" stroke-linejoin="round"/>';
// Protective gloves: a hand with its cuff.
const MUST_GLOVES =
  '<circle cx="24" cy="22" r="20" fill="#004f8c"/><path d="M18.6 36v-9l-4.4-4.8c-1.4-1.6.6-3.6 2.2-2.2l3.4 3V12.6c0-2 2.8-2 2.8 0v7-9.2c0-2 2.8-2 2.8 0v9.2-7.8c0-2 2.8-2 2.8 0v8.4-5.4c0-2 2.8-2 2.8 0V27l-2 3.6V36z" fill="#fff"/><path d="M18 32h11.6" stroke="#004f8c" stroke-width="1.4"/>';
const MUST =
  '<circle cx="24" cy="22" r="20" fill="#004f8c"/><g fill="#fff"><path d="M21.6 9h4.8l-1 16h-2.8z"/><circle cx="24" cy="31.6" r="2.8"/></g>';
const MUST_NOT =
  '<circle cx="24" cy="22" r="18" fill="#fff" stroke="#a80f20" stroke-width="4"/><path d="M11.4 9.4l25.2 25.2" stroke="#a80f20" stroke-width="4"/>';

/** The symbol that a sign code is drawn with; codes without a drawing take the general one of their kind. */
function symbolOf(sign: string): string {
  if (FIGURES[sign] !== undefined || sign === "M009") return sign;
  return sign.startsWith("M") ? "M001" : sign.startsWith("P") ? "P001" : "W001";
}

/** A sign at a caution. One without a drawing of its own shows its code, so that it can be looked up. */
export function signHtml(sign: string | undefined): string {
  if (sign === undefined) return "";
  const symbol = symbolOf(sign);
  const code = symbol === sign ? "" : `<small>${escapeText(sign)}</small>`;
  return `<span class="sign"><svg viewBox="0 0 48 44" aria-hidden="true"><use href="#sign-${symbol}"/></svg>${code}</span>`;
}

/** The definitions of the symbols that a page's HTML uses; nothing for a page without signs. */
export function signDefinitions(html: string): string {
  const symbols = new Set<string>();
  for (const found of html.matchAll(/href="#sign-([A-Z]\d{3}|alert)"/g))
    if (found[1] !== undefined) symbols.add(found[1]);
  if (symbols.size === 0) return "";
  const drawn = [...symbols].sort().map((symbol) => {
    if (symbol === "alert") return `<symbol id="sign-alert" viewBox="0 0 24 22">${ALERT}</symbol>`;
    const inside =
      symbol === "M009"
        ? MUST_GLOVES
        : symbol.startsWith("M")
          ? MUST
          : symbol.startsWith("P")
            ? MUST_NOT
            : TRIANGLE + FIGURES[symbol];
    return `<symbol id="sign-${symbol}" viewBox="0 0 48 44">${inside}</symbol>`;
  });
  return `<svg class="definitions" aria-hidden="true">${drawn.join("")}</svg>`;
}

// The two colours come from the signal panel: a triangle in the colour of the letters, its mark in that of the ground.
const ALERT =
  '<path d="M12 1.6L23 20.6H1z" fill="currentColor" stroke="currentColor" stroke-width="1.6" stroke-linejoin="round"/><path d="M10.7 7.4h2.6l-.5 7h-1.6z" fill="var(--ground)"/><circle cx="12" cy="17.2" r="1.5" fill="var(--ground)"/>';

/** A small sign within a line of words that say the same. */
export function symbolHtml(sign: string): string {
  return `<svg class="symbol" viewBox="0 0 48 44" aria-hidden="true"><use href="#sign-${symbolOf(sign)}"/></svg>`;
}

/** The safety alert symbol before a signal word. */
export const alertHtml = '<svg class="alert" viewBox="0 0 24 22" aria-hidden="true"><use href="#sign-alert"/></svg>';
