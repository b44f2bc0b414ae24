/** What the walk's page calls. */

import { openUnit } from "../../client/marking/open.js";
import { Walk } from "./walk.js";

void openUnit((unit, loaded) => new Walk(unit, loaded));
