/** A QR code (ISO/IEC 18004) as SVG. */
import makeCode from "qrcode-generator";

/**
 * Its modules, row by row; dark ones are true. Error correction M: what is printed on paper gets wet, and a quarter more
 * of size is affordable there.
 *
 * @param text What it says; bytes of UTF-8, where longer than ASCII.
 * @throws when the text is too long for any code (some 2,300 bytes).
 */
export function qrModules(text: string): readonly (readonly boolean[])[] {
  const code = makeCode(0, "M");
  code.addData(text, "Byte");
  code.make();
  const all = Array.from({ length: code.getModuleCount() }, (_, at) => at);
  return all.map((row) => all.map((column) => code.isDark(row, column)));
}

/** With the quiet zone of four modules that a reader needs around it. Black on white in every colour scheme. */
export function qrSvg(text: string, label: string): string {
  const rows = qrModules(text);
  const size = rows.length + 8;
  const dark = rows.flatMap((row, y) => row.flatMap((isDark, x) => (isDark ? [`M${x + 4} ${y + 4}h1v1h-1z`] : [])));
  return `<svg class="qr" role="img" aria-label="${label}" viewBox="0 0 ${size} ${size}" width="${size * 4}" height="${size * 4}" shape-rendering="crispEdges"><path fill="#fff" d="M0 0h${size}v${size}H0z"/><path fill="#000" d="${dark.join("")}"/></svg>`;
}
