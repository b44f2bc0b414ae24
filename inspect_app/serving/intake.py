"""Take a request body in whole, before any thread is taken for it."""

import asyncio
import io
import tempfile
from dataclasses import dataclass, field
from typing import IO

from inspect_app.serving.limits import MB, Limits
from inspect_app.serving.refusal import Gone, Receive, Refusal, Scope
from inspect_app.words import N_

TOO_LARGE = {
    "photo": N_("This photo is larger than the %(size)s the server takes; send a smaller one."),
    "file": N_("This file is larger than the %(size)s the server takes; send a smaller one."),
    "JSON body": N_("This JSON body is larger than the %(size)s the server takes; send a smaller one."),
    "form": N_("This form is larger than the %(size)s the server takes; send a smaller one."),
}


@dataclass(kw_only=True)
class Parcel:
    """A whole request body, read from its first byte."""

    file: IO[bytes] = field(default_factory=io.BytesIO)
    size: int = 0

    def close(self) -> None:
        """Let go of the memory or the temporary file."""
        self.file.close()


def head(scope: Scope, name: bytes) -> str:
    """Return the value of a request header (name in lower case), or an empty string."""
    return next((value.decode("latin-1") for key, value in scope["headers"] if key == name), "")


class Intake:
    """Receives bodies under the caps and deadlines of `limits`, and knows how much it holds at the moment."""

    def __init__(self, limits: Limits) -> None:
        self.limits = limits
        self.held = 0

    async def take(self, scope: Scope, receive: Receive) -> Parcel:
        """Return the whole body of a request.

        Raises `Refusal` when it is too large (413), stalls or takes too long (408), or when the server holds too many
        already (503); `Gone` when the client hangs up. Whoever gets a parcel gives it back with `release`.
        """
        length = head(scope, b"content-length")
        if not length and not head(scope, b"transfer-encoding"):
            return Parcel()
        name, cap = self.limits.body_class(scope["path"], head(scope, b"content-type"))
        if length and int(length) > cap:
            raise _too_large(name, cap)
        spool = tempfile.SpooledTemporaryFile(max_size=self.limits.spool_bytes)  # noqa: SIM115  outlives this call
        parcel = Parcel(file=spool)
        try:
            await self._fill(parcel, receive, name, cap)
        except BaseException:
            self.release(parcel)
            raise
        parcel.file.seek(0)
        return parcel

    def release(self, parcel: Parcel) -> None:
        """Close a parcel and forget its bytes."""
        self.held -= parcel.size
        parcel.size = 0
        parcel.close()

    async def _fill(self, parcel: Parcel, receive: Receive, name: str, cap: int) -> None:
        try:
            async with asyncio.timeout(self.limits.body_total_s):
                more = True
                while more:
                    async with asyncio.timeout(self.limits.body_idle_s):
                        message = await receive()
                    if message["type"] == "http.disconnect":
                        raise Gone
                    await self._add(parcel, message.get("body", b""), name, cap)
                    more = message.get("more_body", False)
        except TimeoutError:
            text = N_("The upload stopped before it was complete; it is still on this device and can be sent again.")
            raise Refusal(408, "upload_stalled", text) from None

    async def _add(self, parcel: Parcel, data: bytes, name: str, cap: int) -> None:
        if parcel.size + len(data) > cap:
            raise _too_large(name, cap)
        if self.held + len(data) > self.limits.all_bodies_bytes:
            text = N_("The server is receiving too many uploads; send this again in a minute.")
            raise Refusal(503, "server_busy", text)
        parcel.size += len(data)
        self.held += len(data)
        if parcel.size <= self.limits.spool_bytes:
            parcel.file.write(data)
        else:
            # Now the spool is, or becomes, a file: a disk that dawdles holds up a helper thread, never the event loop.
            await asyncio.to_thread(parcel.file.write, data)


def _too_large(name: str, cap: int) -> Refusal:
    size = f"{cap / MB:g} MB" if cap >= MB else f"{cap} bytes"
    return Refusal(413, "too_large", TOO_LARGE[name], size=size)
