/** What the walk's page calls. */

import { runClocks } from "../../client/curing.js";
import { openUnit } from "../../client/marking/open.js";
import { Walk } from "./walk.js";

void openUnit((unit, loaded) => new Walk(unit, loaded), (_page, view) => runClocks(() => void view.refresh()));
