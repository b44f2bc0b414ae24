"""A server and browser pages lent from test to test: to start them anew takes longer than most tests do.

The server stands for the whole run and answers for whichever application a test has. A page goes back empty: nothing is
stored, listened to or routed any more. A page on which something was done that cannot be undone is closed instead.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, BrowserContext, Error, Page
from werkzeug.wsgi import ClosingIterator

EMPTY = "/a-page-with-nothing-on-it"
NOTHING = "<!doctype html><title>Nothing</title><script>sessionStorage.clear()</script>"


class Standing:
    """The application of the moment behind one address, and its data folder behind one name."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder / "data"
        self._app: Callable[..., Iterable[bytes]] | None = None
        self._inside = 0
        self._count = threading.Condition()

    def __call__(self, environ: dict[str, Any], start_response: Callable[..., Any]) -> Iterable[bytes]:
        if environ["PATH_INFO"] == EMPTY:
            start_response("200 OK", [("Content-Type", "text/html")])
            return [NOTHING.encode()]
        with self._count:
            app = self._app
            self._inside += app is not None
        if app is None:
            start_response("503 Service Unavailable", [("Content-Type", "text/plain")])
            return [b"Between two tests."]
        try:
            return ClosingIterator(app(environ, start_response), [self._left])
        except BaseException:
            self._left()
            raise

    def _left(self) -> None:
        with self._count:
            self._inside -= 1
            self._count.notify_all()

    @contextmanager
    def before(self, app: Callable[..., Iterable[bytes]], data: Path) -> Iterator[None]:
        """Answer for an application; leave it only when all who came in are out, so that none meets the next one."""
        self.folder.unlink(missing_ok=True)
        self.folder.symlink_to(data)
        self._app = app
        try:
            yield
        finally:
            with self._count:
                self._app = None
                empty = self._count.wait_for(lambda: self._inside == 0, timeout=10)
            assert empty, "a request of this test never ended"


class Tablets:
    """Touch pages for one server, each with a store of its own; a server may go by several addresses.

    One that `stands` is there to give the empty page; for another the browser gives it, which takes longer.
    """

    def __init__(self, browser: Browser, *addresses: str, stands: bool = False) -> None:
        self.browser, self.addresses, self.stands = browser, addresses, stands
        self._free: list[LentPage] = []

    def lend(self) -> LentPage:
        """Give an empty page, one that came back if there is one."""
        return self._free.pop() if self._free else LentPage(self)

    def back(self, lent: LentPage) -> None:
        """Take a page back, or close it where it cannot be emptied."""
        if lent.emptied():
            self._free.append(lent)
        else:
            lent.context.close()

    def close(self) -> None:
        """Close those that are here."""
        for lent in self._free:
            lent.context.close()


class LentPage:
    """A page and what was done to it."""

    def __init__(self, lender: Tablets) -> None:
        # Without the worker that keeps pages on a tablet: what a test does to the server is then what the page meets.
        self.addresses, self.stands = lender.addresses, lender.stands
        self.context: BrowserContext = lender.browser.new_context(
            base_url=self.addresses[0], has_touch=True, service_workers="block"
        )
        self.page: Page = self.context.new_page()
        self._wire = self.context.new_cdp_session(self.page)
        self._spoiled = False
        self._undo: list[Callable[[], object]] = []
        self._watch()

    def _watch(self) -> None:
        """Note what will have to be undone, and what cannot be."""
        on, session = self.page.on, self.context.new_cdp_session

        def noted_on(event: Any, heard: Any) -> None:
            on(event, heard)
            self._undo.append(lambda: self.page.remove_listener(event, heard))

        def noted_session(page: Any) -> Any:
            made = session(page)
            self._undo.append(made.detach)
            return made

        def spoils(call: Callable[..., Any]) -> Callable[..., Any]:
            def spoiling(*given: Any, **more: Any) -> Any:
                self._spoiled = True
                return call(*given, **more)

            return spoiling

        for here, name, instead in (
            (self.page, "on", noted_on),
            (self.context, "new_cdp_session", noted_session),
            *(
                (where, name, spoils(getattr(where, name)))
                for where in (self.page, self.context)
                for name in ("add_init_script", "expose_function", "expose_binding", "set_extra_http_headers")
            ),
            *(
                (self.page.clock, name, spoils(getattr(self.page.clock, name)))
                for name in ("install", "set_fixed_time", "set_system_time")
            ),
        ):
            setattr(here, name, instead)

    def emptied(self) -> bool:
        """Leave nothing of the test on it; tell whether that went well."""
        if self._spoiled or self.page.is_closed():
            return False
        with suppress(Error):
            for undo in reversed(self._undo):
                undo()
            self._undo.clear()
            for other in self.context.pages:
                if other is not self.page:
                    other.close()
            self.page.unroute_all(behavior="ignoreErrors")
            self.context.unroute_all(behavior="ignoreErrors")
            self.context.set_offline(False)
            if not self.stands:
                self.page.route("**" + EMPTY, lambda route: route.fulfill(body=NOTHING, content_type="text/html"))
            self.page.goto(self.addresses[0] + EMPTY)  # of the same origin, so that it stays in its process
            if not self.stands:
                self.page.unroute_all()
            self.context.clear_cookies()
            for origin in self.addresses:
                self._wire.send("Storage.clearDataForOrigin", {"origin": origin, "storageTypes": "all"})
            self.page.emulate_media(media="null", color_scheme="null", forced_colors="null", reduced_motion="null")
            self.page.set_default_timeout(30_000)
            return True
        return False
