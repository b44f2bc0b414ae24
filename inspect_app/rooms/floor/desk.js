/** What every page at a desk does: say truly what is sent, ask for a sign-in over the work, find a unit. */

import { mountSignIn } from "../../client/signin_panel.js";
import { start } from "../../client/start.js";
import { mountStatus } from "../../client/status.js";

mountStatus();
mountSignIn();
void start();
