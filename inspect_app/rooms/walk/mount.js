/** What the walk's page calls: begin sending, read what is needed, then keep the drawing board true. */

import { reportLeaving } from "../../client/presence.js";
import { mountSignIn } from "../../client/signin_panel.js";
import { start } from "../../client/start.js";
import { mountStatus } from "../../client/status.js";
import { watch } from "../../client/view.js";
import { placer } from "../../client/marking/judge.js";
import { load, Unreadable } from "../../client/marking/load.js";
import { layPictograms } from "../../client/pictograms.js";
import { Walk } from "./walk.js";

async function open() {
  const unit = location.pathname.split("/")[2] ?? "";
  mountStatus();
  mountSignIn();
  void start();
  reportLeaving(unit);
  try {
    const [loaded] = await Promise.all([load(unit), layPictograms()]);
    const walk = new Walk(unit, loaded);
    watch(unit, { table: loaded.table, place: placer(walk.outline, walk.catalogue) }, (sight) => walk.show(sight));
  } catch (fault) {
    if (!(fault instanceof Unreadable)) throw fault;
    const loading = document.getElementById("loading");
    if (loading) loading.textContent = fault.message;
  }
}

void open();
