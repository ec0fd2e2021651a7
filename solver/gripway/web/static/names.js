// What a work is called: composer, work and movement, for a heading and for the name of a file.

import { state } from "./state.js";

const NAMELESS = "Notes";

/** The work and its movement, where the score tells them apart. */
const parts = () => [...new Set([state.opened.work_title, state.opened.title].filter(Boolean))];

/** `Franz Schubert: Symphony No. 5, Allegro`. */
export function title() {
  const music = parts().join(", ") || (state.source?.notes ? NAMELESS : state.opened.name);
  return state.opened.composer ? `${state.opened.composer}: ${music}` : music;
}

/** The last name: what stands before a comma, or the last word that is no year. */
function surname(composer) {
  const plain = composer.replace(/\([^)]*\)|[\d–-]+$/g, "").trim();
  return plain.includes(",") ? plain.split(",")[0] : plain.split(/\s+/).at(-1);
}

const slug = (text, most) => text.replace(/[^\p{L}\p{N}]+/gu, "-").replace(/^-|-$/g, "").slice(0, most).replace(/-$/, "");

/** The beginning of a file's name, with all three of them. */
export function fileStem() {
  const music = parts().length ? parts() : [title()];
  return [slug(surname(state.opened.composer ?? ""), 20), ...music.map((part) => slug(part, 40))].filter(Boolean).join("-") || "passage";
}
