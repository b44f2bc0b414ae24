/**
 * What every page at a desk does: say truly what is sent, ask for a sign-in over the work, find a unit. Such a page reads
 * no feed, so it looks by itself whether the server is there: else it would go on saying "All sent". A form
 * waits for the server.
 */

import { guardForms, heard } from "./desk_forms.js";
import { settings } from "../settings.js";
import { mountSignIn } from "../signin_panel.js";
import { start } from "../start.js";
import { mountStatus } from "../status.js";
import { lookForServer, syncStatus } from "../sync.js";

/** @type {ReturnType<typeof setTimeout> | undefined} */
let timer;

function later() {
  clearTimeout(timer);
  heard(["idle", "sending"].includes(syncStatus().phase));
  if (!document.hidden) timer = setTimeout(look, settings.lookEvery);
}

function look() {
  clearTimeout(timer);
  void lookForServer().then(later);
}

mountStatus();
mountSignIn();
guardForms();
void start().then(later);
for (const event of ["online", "offline"]) addEventListener(event, look);
document.addEventListener("visibilitychange", () => (document.hidden ? clearTimeout(timer) : look()));
