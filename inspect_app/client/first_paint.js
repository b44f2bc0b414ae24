/**
 * A page that the tablet keeps was made for nobody, and a script that is a module runs after the first paint. This one is
 * none: named before the styles, it puts theme and type on the page from this tablet's cookies, so that nothing flashes.
 */
(() => {
  const page = document.documentElement;
  const chosen = document.cookie.split("; ");
  page.dataset.theme = chosen.includes("theme=day") ? "day" : "lamp";
  if (chosen.includes("type=large")) page.dataset.type = "large";
})();
