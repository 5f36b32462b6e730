"""The desk on an address: the port, the keys, what is printed, uvicorn."""

import errno
import os
import socket
from collections.abc import Callable
from ipaddress import ip_address
from pathlib import Path
from secrets import token_urlsafe
from typing import NamedTuple

import uvicorn

from redstave.app import seasons
from redstave.base.errors import InputError
from redstave.web.desk import Desk
from redstave.web.factory import make_app
from redstave.web.guard import Access
from redstave.web.guard.hosts import EVERYWHERE

PORT = 8765
CLOSING_S = 3  # how long open requests may take when the desk is closed


class Addresses(NamedTuple):
    """Where the desk is: the teacher's address, the guest's ("" without one), who can reach it."""

    teacher: str
    guest: str
    loopback: bool


def serve(
    folder: Path,
    host: str = "127.0.0.1",
    port: int = PORT,
    guest: bool = False,
    ready: Callable[[Addresses], None] = lambda _: None,
) -> None:
    """Open the season in a folder and answer until stopped.

    `port` 0 takes a free one. `ready` is told the addresses as soon as they answer. InputError
    where the folder holds no season, the port is taken, or nothing can listen on the host.
    """
    near = is_loopback(host)
    access = Access(
        teacher=token_urlsafe(18) if guest or not near else "",
        guest=token_urlsafe(18) if guest else "",
    )
    with seasons.open_season(folder) as season, listening(host, port) as listener:
        bound = int(listener.getsockname()[1])
        desk = Desk(season, pictures_folder())
        try:
            desk.warm()
            ready(_addresses(host, bound, access, near))
            uvicorn.Server(_config(desk, access, host, bound)).run(sockets=[listener])
        finally:
            desk.close()


def is_loopback(host: str) -> bool:
    """Tell whether only this machine can reach a host."""
    if host == "localhost":
        return True
    try:
        return ip_address(host).is_loopback
    except ValueError:
        return False


def listening(host: str, port: int) -> socket.socket:
    """Return a socket that listens; InputError says in a sentence why there is none."""
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    listener = socket.socket(family, socket.SOCK_STREAM)
    listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listener.bind((host, port))
        listener.listen(128)
    except (OSError, OverflowError) as error:
        listener.close()
        if isinstance(error, OSError) and error.errno == errno.EADDRINUSE:
            raise InputError(
                f"port {port} is taken, perhaps by another desk; close that one or choose another "
                "with --port (0 takes a free one)"
            ) from error
        raise InputError(f"nothing can listen on {host}, port {port} ({error})") from error
    return listener


def pictures_folder() -> Path:
    """Return where painted systems are kept: they can be made again, so not in the season."""
    home = os.environ.get("XDG_CACHE_HOME", "")
    return (Path(home) if home else Path.home() / ".cache") / "redstave" / "pictures"


def _config(desk: Desk, access: Access, host: str, port: int) -> uvicorn.Config:
    return uvicorn.Config(
        make_app(desk, access, host, port),
        log_level="warning",
        access_log=False,  # addresses hold code names and keys
        server_header=False,
        proxy_headers=False,
        ws="none",
        lifespan="off",
        timeout_graceful_shutdown=CLOSING_S,
    )


def _addresses(host: str, port: int, access: Access, near: bool) -> Addresses:
    name = "localhost" if host in EVERYWHERE else f"[{host}]" if ":" in host else host
    root = f"http://{name}:{port}/"
    return Addresses(
        f"{root}?key={access.teacher}" if access.teacher else root,
        f"{root}?key={access.guest}" if access.guest else "",
        near,
    )
