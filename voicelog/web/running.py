"""The server, and what it tells at its start."""

from __future__ import annotations

import ipaddress
import socket
from collections.abc import Callable

import uvicorn

from voicelog.app import Setting
from voicelog.errors import RequestError
from voicelog.web.screens import application

_ELSEWHERE = "192.0.2.1"
"""An address that belongs to nobody: asking the way to it sends nothing."""


def serve(
    setting: Setting,
    *,
    host: str,
    port: int,
    tell: Callable[[str], None],
    started: Callable[[str], None],
) -> None:
    """Show the screens until interrupted.

    Args:
        setting: which store and farm.
        host: address or name to listen on.
        port: 0 takes any that is free.
        tell: takes sentences for whoever runs the server.
        started: is given the address to open.

    Raises:
        RequestError: the address cannot be listened on.
    """
    listening = listen(host, port)
    try:
        taken = listening.getsockname()[1]
        app = application(setting, tell, host=host)
        started(address(host, taken))
        for line in reach(host, taken):
            tell(line)
        config = uvicorn.Config(
            app,
            log_level="warning",
            access_log=False,
            server_header=False,
            proxy_headers=False,
            timeout_graceful_shutdown=5,
        )
        uvicorn.Server(config).run(sockets=[listening])
    finally:
        listening.close()


def listen(host: str, port: int) -> socket.socket:
    """A socket on that address; requests wait in it until the server is ready.

    Raises:
        RequestError: the address is not this machine's, or the port is taken.
    """
    try:
        family, _, _, _, place = socket.getaddrinfo(
            host, port, type=socket.SOCK_STREAM, flags=socket.AI_PASSIVE
        )[0]
        return socket.create_server(place[:2], family=family, backlog=128)
    except (OSError, OverflowError, UnicodeError) as problem:
        why = getattr(problem, "strerror", None) or problem
        raise RequestError(
            f"The screens cannot be shown at {host} port {port}: {why}.",
            todo="Name another with --host and --port; --port 0 takes any that is free.",
        ) from problem


def address(host: str, port: int) -> str:
    """The address to open in a browser on this machine."""
    shown = "127.0.0.1" if _is_every(host) else host
    return f"http://[{shown}]:{port}/" if ":" in shown else f"http://{shown}:{port}/"


def reach(host: str, port: int) -> list[str]:
    """Who can reach the screens, in sentences."""
    if is_this_machine(host):
        return ["Only this machine can reach it; for a phone see --host. Ctrl-C ends it."]
    found = own_address() if _is_every(host) else host
    phone = [f"On a phone in the same network open {address(found, port)}"] if found else []
    return [
        "There is no password and nothing is encrypted: whoever can reach this machine in the "
        "networks it is in (the home network, guests in it, or a public network it joins) can "
        "read every record, add to them and change them. Do this only in a network you trust, "
        "and never open the port to the internet.",
        *phone,
        "Ctrl-C ends it.",
    ]


def is_this_machine(host: str) -> bool:
    """Whether only this machine can reach an address."""
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return host.lower() == "localhost"


def own_address() -> str | None:
    """This machine's address in its network; None where it is in none."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asking:
        try:
            asking.connect((_ELSEWHERE, 9))
        except OSError:
            return None
        found: str = asking.getsockname()[0]
        return found


def _is_every(host: str) -> bool:
    try:
        return ipaddress.ip_address(host).is_unspecified
    except ValueError:
        return not host
