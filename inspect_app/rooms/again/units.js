/** The list of units to look at again: it only says what this tablet has not sent yet. */

import { mountSignIn } from "../../client/signin_panel.js";
import { start } from "../../client/start.js";
import { mountStatus } from "../../client/status.js";

mountStatus();
mountSignIn();
void start();
