/** A page that the tablet keeps knows nobody; whoever signed in last on this tablet is filled in here. */

import { on } from "./bus.js";
import { el } from "./elements.js";
import { _ } from "./gettext.js";
import { whoAmI } from "./identity.js";

const main = /** @type {HTMLElement} */ (document.getElementById("main"));
const NOBODY = _("Nobody is signed in on this tablet, and signing in needs the server. What was kept and not sent stays here, under the name it was made by.");

async function fill() {
  const me = await whoAmI().catch(() => null);
  for (const place of document.querySelectorAll("[data-me]")) place.textContent = me?.name ?? "";
  for (const room of /** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll("[data-roles]"))) {
    room.hidden = !me?.roles.some((role) => room.dataset.roles?.split(" ").includes(role));
  }
  const first = `/${location.pathname.split("/")[1]}`;
  for (const link of document.querySelectorAll(".rooms a")) {
    if (link.getAttribute("href") === first) link.setAttribute("aria-current", "page");
  }
  main.hidden = !me;
  document.querySelector("[data-nobody]")?.remove();
  if (!me) main.before(el("div", { class: "says", "data-nobody": "" }, el("p", {}, NOBODY)));
}

on("identity", () => void fill());
void fill();
