/** The sign-off page of one unit: rings, gates, signature. */

import { ApiError, ask } from "../../client/api.js";
import { emit } from "../../client/bus.js";
import { el } from "../../client/elements.js";
import { _ } from "../../client/gettext.js";
import { mountSignIn } from "../../client/signin_panel.js";
import { start } from "../../client/start.js";
import { mountStatus } from "../../client/status.js";
import { onSent, syncStatus } from "../../client/sync.js";
import { mountActs } from "./acts.js";
import { NEVER, openConcession } from "../../client/ask_concession.js";
import { refreshParts, watchServer } from "./live.js";
import { mountSigning } from "./signing.js";
import { marksOnPage, Van } from "./van.js";

const page = /** @type {HTMLElement} */ (document.getElementById("signoff"));
const unit = page.dataset.unit ?? "";
const facts = () => /** @type {HTMLElement} */ (document.querySelector('[data-live="facts"]'));

const told = /** @type {HTMLElement} */ (document.getElementById("chosen-mark"));
const van = new Van(/** @type {any} */ (document.getElementById("van")), /** @type {HTMLElement} */ (document.getElementById("listed")), tellOf);

/** @param {import("./van.js").Mark} mark */
function tellOf(mark) {
  const line = el("p", {}, el("b", { class: "tag", "data-state": mark.state }, mark.tag),
    ` ${mark.kind} · ${mark.severity}${mark.size ? ` · ${mark.size}` : ""} · ${mark.says}`, el("br"), el("span", { class: "hush" }, mark.words));
  told.replaceChildren(line, ...concessionOf(mark));
  told.hidden = false;
}

/** @param {import("./van.js").Mark} mark @returns {HTMLElement[]} */
function concessionOf(mark) {
  const inspector = document.getElementById("sign") !== null;
  if (!mark.undecided || !inspector || mark.severity === "S5") return [];
  if (mark.asked) return [el("p", { class: "hush small" }, _("A concession for it waits for its answer."))];
  if (mark.severity === "S1") return [el("p", { class: "hush small" }, NEVER)];
  const button = el("button", { type: "button", class: "btn" }, _("Ask for a concession"));
  button.addEventListener("click", () => openConcession({ unit, marker: mark }));
  return [button];
}

/** @param {string} view */
function showView(view) {
  for (const button of /** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll("[data-view].btn"))) {
    button.setAttribute("aria-pressed", String(button.dataset.view === view));
  }
  van.show(view);
}

document.addEventListener("click", (event) => {
  const view = /** @type {HTMLElement | null} */ (/** @type {Element} */ (event.target).closest?.("[data-view].btn"))?.dataset.view;
  if (view) showView(view);
});

/** @param {any} now the answer of /now */
async function changed(now) {
  if (now?.state && now.state !== facts().dataset.state) {
    location.reload(); // signed or reopened: another page, and the signature has done its work
    return;
  }
  await refreshParts();
  showView(van.view);
  const lit = marksOnPage().find((mark) => mark.id === van.lit);
  if (lit) tellOf(lit);
  signing?.show();
}

let away = false;
const watching = watchServer(`/sign-off/${unit}/now`, JSON.parse(facts().dataset.now ?? "null"), changed, (now) => {
  if (away === now) return;
  away = now;
  signing?.show();
});
mountActs(unit, async (now) => {
  if (now?.head) watching.saw(now);
  await changed(now);
});

const signing = mountSigning({
  facts,
  away: () => away,
  unsent: () => syncStatus().events + syncStatus().photos,
  send: async (signed) => {
    try {
      const { data } = await ask(`/sign-off/${unit}/sign`, { method: "POST", json: { ...signed, expected_head: facts().dataset.head } });
      await changed(data);
      return null;
    } catch (problem) {
      if (!(problem instanceof ApiError)) throw problem;
      if (problem.status === 401) emit("signin-needed", {});
      if (problem.status === 409) await changed(null).catch(() => undefined);
      return problem;
    }
  },
});

mountSignIn();
mountStatus();
onSent(() => void watching.look());
const first = document.querySelector(`[data-view="${marksOnPage()[0]?.view ?? "left"}"]`) ?? document.querySelector("[data-view]"); // an outline need not have a left side
showView(first?.getAttribute("data-view") ?? "left");
void van.load(page.dataset.outline ?? "").catch(() => undefined); // without the drawing the gates and the list still say all
void start().then(() => signing?.show());
