"""Who may ask what: one small ASGI layer a file, put round the application from outside in.

::

    headers   what every answer says about itself: policy, no sniffing, no referrer
    hosts     only our own names are answered (421)
    access    who asks: the teacher, or a guest who may only look (401, 403)
    origins   what changes something comes from our own pages and carries their token (403)
    bodies    no request is longer than it may be, whatever it says of itself (413)
"""

from redstave.web.guard.access import Access, AccessGuard
from redstave.web.guard.bodies import BodyGuard
from redstave.web.guard.headers import HeaderGuard
from redstave.web.guard.hosts import HostGuard, allowed_hosts
from redstave.web.guard.origins import OriginGuard

__all__ = [
    "Access",
    "AccessGuard",
    "BodyGuard",
    "HeaderGuard",
    "HostGuard",
    "OriginGuard",
    "allowed_hosts",
]
