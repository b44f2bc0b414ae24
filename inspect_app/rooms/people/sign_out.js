/** Signing out: the tablet forgets who was here. What it keeps unsent keeps its author all the same. */

import { forgetMe } from "../../client/identity.js";

const form = /** @type {HTMLFormElement} */ (document.getElementById("sign-out"));
form.addEventListener("submit", async (event) => {
  event.preventDefault();
  await forgetMe().catch(() => undefined); // a broken store must not keep anyone signed in
  form.submit();
});
