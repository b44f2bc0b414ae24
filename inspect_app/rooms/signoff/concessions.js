/** The lists of the sign-off: answering concessions without leaving the page. */

import { mountSignIn } from "../../client/signin_panel.js";
import { start } from "../../client/start.js";
import { mountStatus } from "../../client/status.js";
import { mountActs } from "./acts.js";
import { refreshParts } from "./live.js";

mountSignIn();
mountStatus();
mountActs("", async () => refreshParts());
void start();
