/** The rework page: reads the jobs, shows one, keeps what is done to it. */

import { ApiError } from "../../client/api.js";
import { on } from "../../client/bus.js";
import { serverNow } from "../../client/clock.js";
import { _ } from "../../client/gettext.js";
import { once } from "../../client/once.js";
import { madeWith } from "../../client/outbox.js";
import { byId } from "../../client/rows.js";
import { mountSignIn } from "../../client/signin_panel.js";
import { start } from "../../client/start.js";
import { mountStatus } from "../../client/status.js";
import { CATALOGUE, JUDGEMENT, LIFECYCLE, current, outlineOf } from "../../client/versions.js";
import { watch } from "../../client/view.js";
import * as acts from "./acts.js";
import { cautionCards, cautionsOf, showUnread, startTimers, watchReading } from "./cautions.js";
import { now as timeNow, runClocks, setClock } from "../../client/curing.js";
import { askDone } from "./done.js";
import { layPictograms } from "../../client/pictograms.js";
import { say, says } from "../../client/pieces.js";
import { swap } from "../../client/refill.js";
import { dismiss, heldAbout } from "../../client/held.js";
import { askEnd, askTimer, timerLines } from "../../client/timers.js";
import { chainLine, hands, jobFoot, jobHead, jobSays, markLines, mayWork, methodPart, originPart, otherwisePart } from "./job.js";
import { listBody, listHead } from "./list.js";
import { bench, groups } from "./model.js";
import { askHandBack, askNoFlaw, askNotFound, askReroute, askStep, askWaiting, askWay } from "./otherwise.js";
import { Stage } from "./stage.js";
import { waysOf, waysPart } from "./ways.js";

/** @typedef {import("./model.js").Entry} Entry */

const page = /** @type {HTMLElement} */ (document.querySelector("[data-bench]"));

/** What the person has chosen; the rest follows from the journal. */
const chosen = { job: /** @type {string | null} */ (null), marker: /** @type {string | null} */ (null), fits: /** @type {number | null} */ (null), department: "" };
/** @type {Map<string, Set<string>>} cautions read, by job */
const read = new Map();
/** @type {Map<string, any>} outlines that have been read, by hash */
const outlines = new Map();
/** @type {any} */
let catalogue = null;
/** @type {import("./open.js").Rules | null} */
let rules = null;
/** @type {import("../../client/view.js").Sight | null} */
let sight = null;
let now = Date.now();
let cautionsKey = "";
let stopReading = () => {};

/** @param {string} name */
const part = (name) => /** @type {HTMLElement} */ (page.querySelector(`[data-part="${name}"]`));
const stage = new Stage(part("board"), (marker) => pickMarker(marker));

/** The job named in the address. */
function named() {
  return location.pathname.split("/")[2] ?? null;
}

async function open() {
  mountStatus();
  mountSignIn();
  chosen.job = named();
  void start();
  let table;
  try {
    // Without its rules the bench works as it did before there were any; the server knows them.
    [catalogue, table, rules] = await Promise.all([current(CATALOGUE), current(LIFECYCLE), current(JUDGEMENT).catch(() => null), layPictograms()]);
  } catch (fault) {
    page.querySelector("[data-list]")?.replaceChildren(says(fault instanceof Error ? fault.message : _("The page could not be read; reload it."), "wrong"));
    if (fault instanceof ApiError && fault.status === 401) on("identity", (detail) => detail?.person && location.reload());
    return;
  }
  madeWith({ catalogue: catalogue.hash });
  const view = watch("", { table, method: (key) => catalogue.methods[key] }, (seen) => void take(seen));
  runClocks(() => void view.refresh());
  page.addEventListener("click", clicked);
  page.addEventListener("change", changed);
  addEventListener("popstate", () => choose(named(), false));
}

/** @param {import("../../client/view.js").Sight} seen */
async function take(seen) {
  now = await serverNow();
  setClock(now - Date.now());
  sight = seen;
  const missing = [...new Set((seen.state.units ?? []).map((unit) => unit.outline))].filter((hash) => !outlines.has(hash));
  await Promise.allSettled(missing.map(async (hash) => outlines.set(hash, await outlineOf(hash))));
  await show();
}

/** Departments whose jobs are listed. @param {import("./model.js").Bench} found */
function listed(found) {
  const own = sight?.me?.departments ?? [];
  const all = own.length > 0 && !sight?.me?.roles.includes("manager") ? own : [...new Set([...own, ...found.departments])];
  return { own, all, shown: chosen.department && all.includes(chosen.department) ? [chosen.department] : all };
}

async function show() {
  if (!sight) return;
  const found = bench(sight, { catalogue, outlines, now, rules });
  const { own, all, shown } = listed(found);
  const lists = groups(found, { departments: shown, fits: chosen.fits });
  const first = lists.mine[0] ?? lists.ready[0];
  if (!chosen.job && first && matchMedia("(min-width: 901px)").matches) chosen.job = first.job.id;
  const choice = { departments: shown, fits: chosen.fits, chosen: chosen.job, department: chosen.department, own, catalogue };
  swap(/** @type {Element} */ (page.querySelector("[data-list-head]")), ...listHead(lists, choice, all));
  swap(/** @type {Element} */ (page.querySelector("[data-list]")), ...listBody(lists, found.curing, choice, now));
  swap(/** @type {Element} */ (page.querySelector("[data-timers]")), ...timerLines(sight.state.timers ?? [], known()));
  const entry = found.entries.get(chosen.job ?? "");
  page.dataset.show = entry || named() ? "work" : "list";
  const next = [...lists.mine, ...lists.ready].find((one) => one.job.id !== chosen.job);
  await showJob(entry, next?.job.id ?? null);
}

/** What a safety timer is shown and ended with. */
function known() {
  return { catalogue, people: byId(sight?.state.people ?? []), now };
}

/** @param {Entry | undefined} entry @param {string | null} next */
async function showJob(entry, next) {
  if (!entry) return showNone();
  const { job, markers } = entry;
  const about = await heldAbout((body) => body.job === job.id || (!body.job && markers.some((marker) => marker.id === body.marker)));
  const setting = settingOf(entry, about, next);
  swap(part("head"), ...jobHead(entry, setting), chainLine(entry, setting));
  swap(part("says"), ...jobSays(entry, setting));
  const own = (sight?.state.timers ?? []).filter((timer) => timer.unit === entry.unit.id);
  swap(part("timers"), ...timerLines(own, known()), ...startTimers(catalogue, entry));
  showCautions(entry, setting);
  const outline = outlines.get(entry.unit.outline);
  const others = (sight?.state.markers ?? []).filter((marker) => marker.unit === entry.unit.id && ["open", "in_rework", "reworked"].includes(marker.state));
  stage.show(job.id, outline, markers, others, chosen.marker);
  swap(part("marks"), ...markLines(entry, setting));
  swap(part("method"), ...methodPart(entry));
  swap(part("ways"), ...waysPart(entry, setting, hands(entry, setting).mover));
  swap(part("origin"), ...originPart(entry, setting));
  swap(part("otherwise"), ...otherwisePart(entry, setting));
  const foot = jobFoot(entry, setting);
  part("foot").hidden = foot.length === 0;
  swap(part("foot"), ...foot);
}

/** @param {Entry} entry @param {import("../../client/types.js").KeptAnswer[]} held @param {string | null} next @returns {import("./job.js").Setting} */
function settingOf(entry, held, next) {
  const { state, me } = /** @type {import("../../client/view.js").Sight} */ (sight);
  const seen = read.get(entry.job.id) ?? new Set();
  read.set(entry.job.id, seen);
  return { catalogue, state, me, people: byId(state.people ?? []), now, marker: chosen.marker, seen, held, next, rules, outline: outlines.get(entry.unit.outline) };
}

/** @param {Entry} entry @param {import("./job.js").Setting} setting */
function showCautions(entry, setting) {
  const folded = entry.place !== "ready" || !mayWork(entry, setting);
  const key = `${entry.job.id} ${entry.job.method} ${folded}`;
  swap(part("cautions"), ...cautionCards(catalogue, entry.method, folded));
  if (key === cautionsKey) return;
  cautionsKey = key;
  stopReading();
  stopReading = folded ? () => {} : watchReading(part("cautions"), setting.seen, () => void show());
}

function showNone() {
  const words = named() ? _("This job is not on the list any more: its unit was signed, or it was never here.") : _("Choose a job from the list.");
  for (const name of ["timers", "cautions", "marks", "method", "ways", "origin", "otherwise"]) swap(part(name));
  swap(part("head"));
  swap(part("says"), ...(named() || page.querySelector(".job-line") ? [says(words)] : [])); // an empty list says itself what comes
  part("board").hidden = true;
  part("foot").hidden = true;
}

/** @param {string | null} job @param {boolean} [visit] note it in the browser's history */
function choose(job, visit = true) {
  chosen.job = job;
  chosen.marker = null;
  if (visit) history.pushState(null, "", job ? `/rework/${job}` : "/rework");
  page.dataset.show = job ? "work" : "list";
  void show().then(() => {
    page.querySelector("[data-job-pane]")?.scrollTo(0, 0);
    if (!matchMedia("(min-width: 901px)").matches) scrollTo(0, 0);
  });
}

/** @param {string} marker */
function pickMarker(marker) {
  chosen.marker = chosen.marker === marker ? null : marker;
  void show();
}

/** The job on show, as it stands now. @returns {Entry | undefined} */
function entryNow() {
  return sight ? bench(sight, { catalogue, outlines, now, rules }).entries.get(chosen.job ?? "") : undefined;
}

/** What each button does. @type {Record<string, (entry: Entry, button: HTMLElement) => unknown>} */
const ON_JOB = {
  read: (entry) => showUnread(part("cautions"), read.get(entry.job.id) ?? new Set()),
  take: (entry) => acts.take(entry, [...(read.get(entry.job.id) ?? [])]),
  done: (entry) => askDone(entry, settingOf(entry, [], null), () => say(_("Kept: your step is done."))),
  handback: (entry) => askHandBack(entry),
  reroute: (entry) => askReroute(entry, catalogue),
  step: (entry) => askStep(entry, catalogue),
  wait: (entry) => askWaiting(entry, now),
  come: (entry) => acts.hasCome(entry),
  lost: (entry, { dataset }) => askNotFound(entry, markerOf(entry, dataset.marker)),
  noflaw: (entry, { dataset }) => askNoFlaw(entry, markerOf(entry, dataset.marker)),
  way: (entry, { dataset }) => askWay(entry, catalogue, dataset.method ?? "", waysOf(entry, settingOf(entry, [], null))?.barred[dataset.method ?? ""] ?? []),
  pin: (entry, { dataset }) => acts.pin(entry, dataset.pinned === "true"),
  "to-ways": () => part("ways").scrollIntoView({ block: "start" }),
  seen: async (entry, pressed) => {
    const { fact = "", value = "" } = pressed.dataset;
    const said = value === "true" ? true : value === "false" ? false : value;
    for (const id of aboutIds(pressed)) await acts.examine(entry, id, { [fact]: said });
  },
  timer: (entry, { dataset }) => askTimer({ unit: entry.unit, job: entry.job.id, caution: cautionsOf(catalogue, entry.method).find(({ key }) => key === dataset.caution), places: placesOf(dataset.caution) }),
  origin: async (entry, pressed) => {
    for (const id of aboutIds(pressed)) await acts.judgeOrigin(entry, id, pressed.dataset.department ?? "");
  },
};

/** What keeps something at once, without asking. */
const KEEPS = new Set(["take", "come", "pin", "seen", "origin"]);
const LINGER = 400; // ms: by then the pane shows what was kept, and no longer its button

/** The markers that an answer is about. @param {HTMLElement} pressed */
function aboutIds(pressed) {
  return pressed.closest("[data-markers]")?.getAttribute("data-markers")?.split(" ") ?? [];
}

/** @param {Entry} entry @param {string | undefined} id */
function markerOf(entry, id) {
  return /** @type {import("../../client/types.js").Row} */ (entry.markers.find((marker) => marker.id === id));
}

/** Where a caution's timer was started before, the newest first. @param {string | undefined} caution @returns {string[]} */
function placesOf(caution) {
  const before = (sight?.state.timers ?? []).filter((timer) => timer.caution === caution).sort((a, b) => b.started_at - a.started_at);
  return before.map((timer) => String(timer.place));
}

/** @param {string | undefined} id */
function endTimer(id) {
  const timer = sight?.state.timers?.find((one) => one.id === id);
  if (timer) askEnd(timer, { ...known(), now: timeNow() });
}

/** What needs no job. @type {Record<string, (button: HTMLElement) => void>} */
const ON_PAGE = {
  open: ({ dataset }) => choose(dataset.job ?? null),
  back: () => choose(null),
  fits: ({ dataset }) => filter({ fits: dataset.minutes ? Number(dataset.minutes) : null }),
  mark: ({ dataset }) => pickMarker(dataset.marker ?? ""),
  "timer-end": ({ dataset }) => endTimer(dataset.id),
  dismiss: ({ dataset }) => void dismiss(dataset.held ?? ""),
  department: () => {},
};

/** @param {MouseEvent} event */
async function clicked(event) {
  const pressed = /** @type {HTMLElement | null} */ (/** @type {Element} */ (event.target).closest("[data-act]"));
  const act = pressed?.dataset.act ?? "";
  if (!pressed) return undefined;
  if (ON_PAGE[act]) return ON_PAGE[act](pressed);
  const entry = entryNow();
  const key = JSON.stringify([entry?.job.id, aboutIds(pressed), pressed.dataset]);
  try {
    return entry && (await (KEEPS.has(act) ? once(key, () => ON_JOB[act]?.(entry, pressed), LINGER) : ON_JOB[act]?.(entry, pressed)));
  } catch (fault) {
    const words = fault instanceof Error ? fault.message : _("This was not kept; do it again.");
    say(words);
    return part("says").prepend(says(words, "wrong"));
  }
}

/** @param {Event} event */
function changed(event) {
  const select = event.target;
  if (select instanceof HTMLSelectElement && select.dataset.act === "department") filter({ department: select.value });
}

/** @param {{fits?: number | null, department?: string}} change */
function filter(change) {
  Object.assign(chosen, change);
  void show();
}

void open();
