/** What every page at a desk does: say truly what is sent, ask for a sign-in over the work, find a unit. */

import { mountSignIn } from "./signin_panel.js";
import { start } from "./start.js";
import { mountStatus } from "./status.js";

mountStatus();
mountSignIn();
void start();
