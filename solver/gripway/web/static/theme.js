// Light or dark: as the system has it, or as the person switched it.

export const isDark = () => (document.documentElement.dataset.theme || (matchMedia("(prefers-color-scheme: dark)").matches ? "dark" : "light")) === "dark";

/** Show the page so, and say so on its switch. */
export function look(dark, button) {
  document.documentElement.dataset.theme = dark ? "dark" : "light";
  button.setAttribute("aria-pressed", String(dark));
}
