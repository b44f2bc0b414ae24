/** The page that admits a tablet: a code that came by a QR code stands in the address's fragment, which no server log sees. */

const field = /** @type {HTMLInputElement | null} */ (document.getElementById("code"));
const brought = new URLSearchParams(location.hash.slice(1)).get("code");
if (field && brought) {
  field.value = brought.replace(/[^a-z0-9]/gi, "").slice(0, 8);
  history.replaceState(null, "", location.pathname); // used or not, it need not stay in the history
}
field?.focus();
