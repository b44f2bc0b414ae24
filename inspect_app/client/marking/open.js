/** What the page of one unit calls: begin sending, read what is needed, then keep the drawing board true. */

import { on } from "../bus.js";
import { layPictograms } from "../pictograms.js";
import { reportLeaving } from "../presence.js";
import { mountSignIn } from "../signin_panel.js";
import { start } from "../start.js";
import { mountStatus } from "../status.js";
import { watch } from "../view.js";
import { placer } from "./judge.js";
import { load, Unreadable } from "./load.js";

/**
 * @template {{outline: import("../outline.js").Outline, catalogue: any, show: (sight: import("../view.js").Sight) => unknown}} Page
 * @param {(unit: string, loaded: import("./load.js").Loaded) => Page} make
 * @param {(page: Page, view: ReturnType<typeof watch>) => void} [then]
 */
export async function openUnit(make, then = () => undefined) {
  const unit = location.pathname.split("/")[2] ?? "";
  mountStatus();
  mountSignIn();
  void start();
  reportLeaving(unit);
  try {
    const [loaded] = await Promise.all([load(unit), layPictograms()]);
    const page = make(unit, loaded);
    then(page, watch(unit, { table: loaded.table, place: placer(page.outline, page.catalogue) }, (sight) => void page.show(sight)));
  } catch (fault) {
    if (!(fault instanceof Unreadable)) throw fault;
    const loading = document.getElementById("loading");
    if (loading) loading.textContent = fault.message;
    if (fault.signin) on("identity", (detail) => detail?.person && location.reload());
  }
}
