// What the person chose of the page and the player; it is the same the next time.

import { byId } from "./dom.js";
import * as kept from "./opening/kept.js";
import { isDark, look } from "./theme.js";

const VALUES = ["show", "size", "volume"], TICKS = { cents: "with-cents", counts: "count-in" };

const keep = () => kept.keepOwn({ ...Object.fromEntries(VALUES.map((id) => [id, byId(id).value])), ...Object.fromEntries(Object.entries(TICKS).map(([key, id]) => [key, byId(id).checked])) });
const SPEED = 70; // percent

/** The speed a work was heard at: no other work takes it over. */
export function hearAt(percent) {
  byId("speed").value = percent ?? SPEED;
  showSpeed();
}

const showSpeed = () => (byId("speed-out").textContent = `${byId("speed").value} %`);

/** The page as it was left. */
export function restore() {
  const likes = kept.own();
  if (likes.theme) look(likes.theme === "dark", byId("theme"));
  byId("theme").setAttribute("aria-pressed", String(isDark()));
  for (const id of VALUES) {
    const before = byId(id).value;
    if (likes[id] !== undefined) byId(id).value = likes[id];
    if (byId(id).value === "") byId(id).value = before; // a choice there is not any more
  }
  for (const [key, id] of Object.entries(TICKS)) byId(id).checked = Boolean(likes[key]);
  showSpeed();
}

export function wire() {
  byId("speed").addEventListener("input", showSpeed);
  for (const id of [...VALUES, ...Object.values(TICKS)]) byId(id).addEventListener("change", keep);
  byId("theme").addEventListener("click", () => {
    look(!isDark(), byId("theme"));
    kept.keepOwn({ theme: isDark() ? "dark" : "light" });
  });
}
