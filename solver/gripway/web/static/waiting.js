// What the page is waiting for, in words, with a button to stop it.

import { byId, working } from "./dom.js";
import { state } from "./state.js";

export async function busy(promise, now = "") {
  const timer = setTimeout(() => {
    const slow = state.wishes.limits.length > 0;
    const words = now ? now : slow ? "Working within your limits: some seconds, not to be stopped half-way…" : "Working…";
    if (working(words)) return; // a dialog stands before the page and says it
    byId("busy-words").textContent = words;
    byId("stop").hidden = slow || Boolean(now);
    byId("busy").hidden = false;
  }, now ? 0 : 600);
  try { return await promise; } finally { clearTimeout(timer); byId("busy").hidden = true; working(""); }
}
