/** What `serve` adds to the pages: a script that shows complaints over the last good page and reloads it. */

const style = `
.headwater-live { position: fixed; inset: auto 0 0 0; max-height: 60vh; overflow: auto; z-index: 2147483647;
  background: #fff; color: #1a1a1a; border-top: 4px solid #a3140c; padding: 1rem; font: 15px/1.5 system-ui, sans-serif; }
.headwater-live h2 { margin: 0 0 .5rem; font-size: 1.1rem; } .headwater-live h3 { margin: 1rem 0 .25rem; font-size: 1rem; }
.headwater-live pre { overflow: auto; background: #f2f2ee; padding: .5rem; } .headwater-live dl { margin: 0; }
.headwater-live dt { font-weight: bold; } .headwater-live dd { margin: 0 0 .25rem 1rem; }
`;

export const liveScript = `"use strict";
(() => {
  let box;
  const show = (html) => {
    if (box) box.remove();
    box = undefined;
    if (!html) return;
    box = document.createElement("aside");
    box.className = "headwater-live";
    box.setAttribute("aria-label", "Complaints");
    box.innerHTML = "<style>" + ${JSON.stringify(style)} + "</style><h2>This is the last good page. The base has faults:</h2>" + html;
    document.body.append(box);
  };
  let broken = false;
  const events = new EventSource("/live");
  events.addEventListener("complaints", (event) => show(JSON.parse(event.data)));
  events.addEventListener("reload", () => location.reload());
  events.addEventListener("error", () => { broken = true; });
  events.addEventListener("open", () => { if (broken) location.reload(); });
})();
`;

/**
 * In place of the service worker of a built site that was once served at this address: it gives the pages back to this
 * server, deletes the stored files and goes. Visits stay.
 */
export const goneWorker = `"use strict";
self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil((async () => {
  for (const name of await caches.keys()) if (name.includes("precache")) await caches.delete(name);
  await self.registration.unregister();
  for (const page of await self.clients.matchAll({ type: "window" })) await page.navigate(page.url);
})()));
`;

/** Shown while there has been no good site yet. */
export function blankPage(complaints: string): string {
  return `<!doctype html><html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width"><title>Headwater: no site yet</title><style>body{font:16px/1.5 system-ui,sans-serif;max-width:60rem;margin:2rem auto;padding:0 1rem}pre{overflow:auto;background:#f2f2ee;padding:.5rem}</style></head><body><h1>No site yet</h1>${complaints || "<p>The site is being built.</p>"}<script>const e=new EventSource("/live");e.addEventListener("reload",()=>location.reload());e.addEventListener("complaints",(m)=>{const t=JSON.parse(m.data);if(t)document.body.innerHTML="<h1>No site yet</h1>"+t});</script></body></html>`;
}
