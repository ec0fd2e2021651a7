// The learning curve: what each number of grips to learn leaves of the effort.

import { byId, el, parsed } from "../dom.js";
import { state } from "../state.js";
import { name, shortGrip } from "../words.js";

let act = {};
export const whenAsked = (acts) => (act = acts);

/** What is there goes with another answer than the one that is shown now. */
export const wait = () => byId("curve").setAttribute("aria-busy", "true");

/** The learning curve; each of its points can be chosen. It goes where there is nothing to choose. */
export function showCurve(answer) {
  const box = byId("curve");
  box.removeAttribute("aria-busy");
  box.hidden = byId("curve-part").hidden = !answer.svg;
  showScale(answer.points);
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
    el("p", { class: "quiet", text: `Choose a point: no more new grips are used. Effort as above the music, with the ${answer.each.toFixed(2)} that learning each grip charges.` }),
    plot,
    el("ol", { class: "curve-steps", start: "0" }, answer.points.map((point) => step(point, answer.chosen))),
    state.wishes.learn === null ? "" : el("button", { type: "button", text: "As many as pay", on: { click: () => act.learn(null) } }),
  );
  if (held !== null) box.querySelector(`[data-learn="${CSS.escape(held)}"]`)?.focus({ preventScroll: true });
  return box;
}

/** Beside the effort of the answer: what the part takes with no unusual grip to learn. */
function showScale(points) {
  const none = points.find(({ grips }) => grips === 0), place = byId("effort-standard");
  if (place && none) place.textContent = `With no grip to learn this part takes ${none.effort.toFixed(2)}.`;
}

function step(point, chosen) {
  const grips = point.learn.map((one) => `${name(one.pitch)} ${shortGrip(one.grip)}`).join(", ") || "no grip to learn";
  const bound = point.bound < point.effort ? ` (at least ${point.bound.toFixed(2)})` : "";
  return el("li", { value: point.grips, class: point.grips === chosen ? "taken" : "" },
    `${grips}: effort ${point.effort.toFixed(2)}${bound}, worst load ${point.worst_load.toFixed(2)}`);
}
