import { loadBase } from "../base.ts";
import { plain } from "../render/html.ts";

/** For installing the site like an app. Every address is relative to this file, since the site may be in a sub-folder. */
export function GET(): Response {
  const base = loadBase();
  const name = plain(base.title);
  const manifest = {
    name,
    short_name: name.length <= 12 ? name : "Headwater",
    lang: base.language,
    start_url: "index.html",
    scope: "./",
    display: "standalone",
    background_color: "#ffffff",
    theme_color: "#0b4f55",
    icons: [
      { src: "icon.svg", sizes: "any", type: "image/svg+xml" },
      { src: "icon-192.png", sizes: "192x192", type: "image/png" },
      { src: "icon-512.png", sizes: "512x512", type: "image/png" },
      { src: "icon-whole-512.png", sizes: "512x512", type: "image/png", purpose: "maskable" },
    ],
  };
  return new Response(JSON.stringify(manifest), { headers: { "content-type": "application/manifest+json" } });
}
