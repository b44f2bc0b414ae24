"""How much, and how long, one client may ask of the server.

All figures are our own choice for one shop PC with up to fifty tablets on poor Wi-Fi; none comes from a standard.
"""

from dataclasses import dataclass

KB = 1024
MB = 1024 * KB


@dataclass(frozen=True, kw_only=True)
class Limits:
    """Sizes in bytes, times in seconds.

    A body's size cap goes by its class: a photo or an outbox file by its path, JSON by its content type or path,
    anything else is a form.
    """

    # What comes in
    json_bytes: int = 10 * MB
    photo_bytes: int = 40 * MB
    form_bytes: int = 5 * MB
    file_bytes: int = 40 * MB
    photo_paths: tuple[str, ...] = ("/photos/",)
    file_paths: tuple[str, ...] = ("/setup/outbox",)  # files saved on a tablet, photos and all
    json_paths: tuple[str, ...] = ("/sync",)
    spool_bytes: int = 1 * MB  # a larger body goes to a temporary file
    all_bodies_bytes: int = 1024 * MB  # everything being received at one moment, so that the disk cannot be filled
    body_idle_s: float = 15.0  # without one new byte
    body_total_s: float = 180.0  # 40 MB at 2 Mbit/s
    linger_s: float = 5.0  # how long a refused upload is still read, so that its sender gets to see why
    linger_bytes: int = 64 * MB

    # What goes out
    answer_bytes: int = 8 * MB  # larger ones must be handed over as a file
    piece_bytes: int = 64 * KB
    write_idle_s: float = 30.0  # with an answer waiting and not one byte taken

    # Connections
    head_s: float = 10.0  # from connecting, or a first byte, to the end of the request's header
    head_bytes: int = 32 * KB
    keep_alive_s: int = 30  # tablets ask for changes every five seconds: let them keep their connection
    connections: int = 400  # 50 tablets with six each, and some; with a temporary file each still < 1,024 descriptors

    # The server itself
    threads: int = 8
    photo_threads: int = 3  # of them at most for photos that came: the others are for markers, however many photos wait
    stop_s: int = 10
    certificate_s: int = 60  # how often a certificate is looked at: is it to be renewed, has its file changed

    def body_class(self, path: str, content_type: str) -> tuple[str, int]:
        """Return the name of the class of a request body, and its cap in bytes."""
        if path.startswith(self.photo_paths):
            return "photo", self.photo_bytes
        if path in self.file_paths:
            return "file", self.file_bytes
        if path in self.json_paths or content_type.split(";")[0].strip().lower() == "application/json":
            return "JSON body", self.json_bytes
        return "form", self.form_bytes
