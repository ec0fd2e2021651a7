// What there is to learn: the grips beyond the standard ones, and what each number of them leaves.

import { byId, el, parsed, picture } from "./dom.js";
import { pictureOf, state } from "./state.js";
import { cents, KIND, name, shortGrip } from "./words.js";

let act = {};
export const whenAsked = (acts) => (act = acts);

/** The grips of the route that are neither standard nor one of the three B-flats. */
export function showLearning() {
  const { learn } = state.route;
  byId("learn").replaceChildren(...(learn.length ? learn.map(grip) : [el("li", { class: "quiet", text: "None: the standard grips serve." })]));
}

function grip(one) {
  const bars = [...new Set(one.places.map((place) => place.bar || String(place.index + 1)))];
  const where = `${one.places[0].bar ? "bar" : "note"}${bars.length > 1 ? "s" : ""} ${bars.slice(0, 8).join(", ")}${bars.length > 8 ? ", …" : ""}`;
  const saves = one.saves === null ? "" : ` · saves ${one.saves.toFixed(2)}`;
  return el("li", {}, picture(pictureOf(one.grip)),
    el("button", { type: "button", on: { click: () => act.choose(one.places[0].index) } }, el("strong", { text: name(one.pitch) }), ` ${one.short}`),
    el("span", { class: "where", text: `${one.known ? "known" : KIND[one.kind] || one.kind} · ${cents(one.cents, one.cents_spread)} · ${where}${saves}` }));
}

/** The learning curve; each of its points can be chosen. It goes where there is nothing to choose. */
export function showCurve(answer) {
  const box = byId("curve");
  box.hidden = !answer.svg;
  if (box.hidden) return box.replaceChildren();
  const held = box.contains(document.activeElement) ? document.activeElement.dataset.learn : null;
  const plot = parsed(answer.svg);
  for (const point of plot.querySelectorAll("[data-learn]")) {
    const take = () => act.learn(Number(point.dataset.learn));
    point.addEventListener("click", take);
    point.addEventListener("keydown", (event) => {
      if (event.key !== "Enter" && event.key !== " ") return;
      event.preventDefault();
      take();
    });
  }
  box.replaceChildren(
    el("p", { class: "quiet", text: `How many new grips is it worth? Choose a point and no more than so many are used. Effort is here without what learning charges (${answer.each.toFixed(2)} a grip).` }),
    plot,
    el("ol", { class: "curve-steps", start: "0" }, answer.points.map((point) => step(point, answer.chosen))),
    state.wishes.learn === null ? "" : el("button", { type: "button", text: "As many as pay", on: { click: () => act.learn(null) } }),
  );
  if (held !== null) box.querySelector(`[data-learn="${CSS.escape(held)}"]`)?.focus({ preventScroll: true });
  return box;
}

function step(point, chosen) {
  const grips = point.learn.map((one) => `${name(one.pitch)} ${shortGrip(one.grip)}`).join(", ") || "no grip to learn";
  const bound = point.bound < point.effort ? ` (at least ${point.bound.toFixed(2)})` : "";
  return el("li", { value: point.grips, class: point.grips === chosen ? "taken" : "" },
    `${grips}: effort ${point.effort.toFixed(2)}${bound}, worst load ${point.worst_load.toFixed(2)}`);
}
