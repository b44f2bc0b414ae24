/**
 * The two themes. The server writes `data-theme` from the cookie, on pages that the tablet keeps first_paint.js
 * does, so nothing flashes; this module only changes it.
 * @typedef {"lamp" | "day"} Theme
 */

import { _ } from "./gettext.js";

const YEAR = 365 * 24 * 3600;

/** @returns {Theme} the theme on the page now */
export function currentTheme() {
  return document.documentElement.dataset.theme === "day" ? "day" : "lamp";
}

/**
 * Put a theme on the page and remember it on this tablet for a year.
 * @param {Theme} theme
 */
export function setTheme(theme) {
  document.documentElement.dataset.theme = theme;
  const secure = location.protocol === "https:" ? "; Secure" : "";
  document.cookie = `theme=${theme}; Path=/; Max-Age=${YEAR}; SameSite=Lax${secure}`;
  tintBrowser();
}

/** Let the browser's own bars take the colour of the board. */
function tintBrowser() {
  const colour = getComputedStyle(document.documentElement).getPropertyValue("--table").trim();
  document.querySelector('meta[name="theme-color"]')?.setAttribute("content", colour);
}

/** @param {HTMLElement} button */
function nameButton(button) {
  button.setAttribute("aria-label", currentTheme() === "lamp" ? _("Change to the day theme") : _("Change to the lamp theme"));
}

/**
 * Make every `[data-theme-switch]` under `root` a switch.
 * @param {ParentNode} [root]
 */
export function mountTheme(root = document) {
  const buttons = /** @type {HTMLElement[]} */ ([...root.querySelectorAll("[data-theme-switch]")]);
  for (const button of buttons) {
    nameButton(button);
    button.addEventListener("click", () => {
      setTheme(currentTheme() === "lamp" ? "day" : "lamp");
      buttons.forEach(nameButton);
    });
  }
  tintBrowser();
}

mountTheme();
