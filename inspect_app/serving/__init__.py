"""The ASGI shell: what stands between the shop's Wi-Fi and the Flask application.

A tablet that walks out of range does not hang up. It goes silent half-way through an upload, or stops reading half-way
through an answer. A threaded server that lets such a client hold one of its threads is soon out of threads, and then
nobody can work. Here no thread ever waits for a client: a request is taken in whole before a thread sees it, and an
answer is handed back whole before it is sent.
"""

from inspect_app.serving.leaflet import Leaflet, Page
from inspect_app.serving.limits import Limits
from inspect_app.serving.run import running, serve
from inspect_app.serving.shell import Shell, wrap

__all__ = ["Leaflet", "Limits", "Page", "Shell", "running", "serve", "wrap"]
