// Elements from plain values. Text is always text: nothing from a score is ever read as markup.

const TOLD_MS = 6000;

export const byId = (id) => document.getElementById(id);

export function el(tag, given = {}, ...children) {
  const made = document.createElement(tag);
  for (const [key, value] of Object.entries(given)) {
    if (value === undefined || value === null || value === false) continue;
    if (key === "on") for (const [name, act] of Object.entries(value)) made.addEventListener(name, act);
    else if (key === "text") made.textContent = value;
    else if (key === "class") made.className = value;
    else if (key === "data") Object.assign(made.dataset, value);
    else if (["value", "checked", "disabled", "hidden", "open"].includes(key)) made[key] = value;
    else made.setAttribute(key, value === true ? "" : value);
  }
  made.append(...children.flat(Infinity).filter((child) => child !== null && child !== undefined && child !== ""));
  return made;
}

const drawn = new Map();

/** A diagram sent by the server as an element; hidden from screen readers unless it stands alone. */
export function picture(sent, { alone = false } = {}) {
  if (!sent?.svg) return el("span", { class: "no-picture", text: "" });
  if (!drawn.has(sent.svg)) drawn.set(sent.svg, parsed(sent.svg));
  const copy = drawn.get(sent.svg).cloneNode(true);
  copy.classList.add("grip-picture");
  copy.querySelectorAll("title, desc").forEach((words) => words.remove());
  if (alone) copy.setAttribute("aria-label", sent.alt);
  else {
    copy.removeAttribute("role");
    copy.setAttribute("aria-hidden", "true");
  }
  return copy;
}

export function parsed(svg) {
  const read = new DOMParser().parseFromString(svg, "image/svg+xml");
  return document.importNode(read.documentElement, true);
}

export function say(text) {
  const status = byId("status");
  status.textContent = "";
  requestAnimationFrame(() => (status.textContent = text));
}

/** Good news that goes by itself, seen and spoken. */
export function tell(text) {
  const box = byId("told");
  clearTimeout(Number(box.dataset.timer));
  box.textContent = text;
  box.hidden = false;
  box.dataset.timer = setTimeout(() => (box.hidden = true), TOLD_MS);
  say(text);
}

/** What was told goes with what it was told of. */
export function untell() {
  byId("told").hidden = true;
}

/** Say which files went to the browser. */
export const tellSaved = (names) => tell(`Saved: ${names.join(" and ")}, where your browser keeps downloads.`);

/** The line of a form that says what is wrong with it. */
export const problemLine = () => el("p", { class: "problem", role: "alert", hidden: true });

export function showProblem(line, problem) {
  line.textContent = [problem.place, problem.what].filter(Boolean).join(": ") + (problem.next_step ? `. ${problem.next_step}` : "");
  line.hidden = false;
}

/** A message that stays until it is closed or what the person asks next goes well. */
export function warn(problem) {
  const box = byId("alert");
  const words = [problem.place, problem.what].filter(Boolean).join(": ");
  box.replaceChildren(
    el("p", {}, el("strong", { text: words || "Something went wrong" }), problem.next_step ? ` — ${problem.next_step}` : ""),
    el("button", { type: "button", text: "Close", on: { click: calm } }),
  );
  box.hidden = false;
  dispatchEvent(new Event("gripway-alert")); // the chosen note comes out from below it
}

export function calm() {
  byId("alert").hidden = true;
}

/** A dialog with a title and a Close button; it is gone once it is closed. */
export function dialog(title, content, { wide = false, name = "" } = {}) {
  const back = document.activeElement;
  const id = `dialog-${name || title.replace(/\W+/g, "-").toLowerCase()}`;
  const box = el(
    "dialog",
    { class: wide ? "wide" : "", "aria-labelledby": `${id}-title`, id },
    el(
      "div",
      { class: "dialog-head" },
      el("h2", { text: title, id: `${id}-title` }),
      el("button", { type: "button", text: "Close", on: { click: () => box.close() } }),
    ),
    content,
    el("p", { class: "working", role: "status" }),
  );
  box.addEventListener("close", () => {
    box.remove();
    if (back?.isConnected) back.focus();
  });
  document.body.append(box);
  box.showModal();
  return box;
}

/** Say in the dialog before the page what goes on; false where there is none. */
export function working(words) {
  const place = [...document.querySelectorAll("dialog[open] .working")].at(-1);
  if (place) place.textContent = words;
  return Boolean(place);
}

/** Ask before something is lost; true where the person goes on. Escape and Close stay. */
export function sure(title, words, yes, no) {
  return new Promise((answered) => {
    let goes = false;
    const box = dialog(title, el("div", { class: "stack" }, el("p", { text: words }), el("div", { class: "row" },
      el("button", { type: "button", class: "main-action", id: "sure-no", text: no, on: { click: () => box.close() } }),
      el("button", { type: "button", id: "sure-yes", text: yes, on: { click: () => { goes = true; box.close(); } } }))), { name: "sure" });
    box.addEventListener("close", () => answered(goes));
    box.querySelector("#sure-no").focus();
  });
}

export function download(blob, name) {
  const address = URL.createObjectURL(blob);
  const link = el("a", { href: address, download: name });
  link.click();
  setTimeout(() => URL.revokeObjectURL(address), 10_000);
}
