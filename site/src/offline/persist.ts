/** Asking the browser to keep what is stored, and what it means when it refuses. */

const ASKED = "headwater-asked-to-persist";

/** Once for this device: a browser that asks the reader must not ask at every visit. Some just decide. */
export function askToPersist(): void {
  try {
    if (localStorage.getItem(ASKED) !== null) return;
    localStorage.setItem(ASKED, "yes");
  } catch {
    return;
  }
  void navigator.storage?.persist?.().catch(() => undefined);
}

export function whyRefused(error: unknown): "full" | "refused" {
  return (error as Error | null)?.name === "QuotaExceededError" ? "full" : "refused";
}
