"""The commands `board` and `demo`: everything as a page, on this machine or shared."""

import sys
from typing import TYPE_CHECKING, Annotated

import typer

from crewplan.command_parts import (
    Engine,
    EngineChoice,
    Now,
    OutsideFault,
    Seconds,
    UsageFault,
    complain,
    instant_of,
    progress,
    read_open,
    say,
    warn,
)

if TYPE_CHECKING:
    from dashboard.guard.sharing import Sharing

_LOOPBACK = "127.0.0.1"
_EVERYWHERE = ("0.0.0.0", "::")
_SWITCH_S = 0.0005
"""A thread that only computes (the owner's record, a page made ahead) gives way after so long. A
request lets go of the interpreter at each of some hundred short waits, for the database most of
all; with Python's 5 ms it waited that long again each time."""

Port = Annotated[
    int, typer.Option("--port", min=0, max=65535, help="[8050, or a free one if it is taken]")
]


def board(
    folder: Annotated[
        str, typer.Argument(help="A branch folder, or the address of its database [this folder].")
    ] = ".",
    port: Port = 8050,
    share: Annotated[
        bool, typer.Option("--share", help="Let those who have an account log in.")
    ] = False,
    host: Annotated[
        str, typer.Option("--host", metavar="ADDRESS", help="With --share: listen on this address.")
    ] = _LOOPBACK,
    name: Annotated[
        list[str] | None,
        typer.Option(
            "--name", metavar="HOST", help="With --share: a host name that it is reached by."
        ),
    ] = None,
    behind_tls: Annotated[
        bool, typer.Option("--behind-tls", help="With --share: a proxy in front speaks TLS.")
    ] = False,
    proxy: Annotated[
        str, typer.Option("--proxy", metavar="ADDRESS", help="With --behind-tls: where it is.")
    ] = _LOOPBACK,
    engine: Engine = EngineChoice.auto,
    seconds: Seconds = 10,
    now: Now = None,
) -> None:
    """Plan the folder and show it as a page, on this machine or shared with those who log in."""
    if not share:
        if host != _LOOPBACK or name or behind_tls:
            raise UsageFault("--host, --name and --behind-tls go with --share")
        _serve(folder, port, engine, seconds, now)
        return
    names = tuple(each.lower() for each in name or ())
    if behind_tls and not names:
        raise UsageFault("--behind-tls needs --name: the host name that browsers ask for")
    if host in _EVERYWHERE and not names:
        raise UsageFault(f"--host {host} needs --name: the host name that browsers ask for")
    if host not in _EVERYWHERE:
        names = (*names, host)
    sharing = _sharing(folder, names, behind_tls)
    if not behind_tls:
        complain(
            "warning: passwords and pages cross the network in the clear; put a proxy that speaks "
            "TLS in front, and say --behind-tls (DEVELOPERS.md, 'Sharing')"
        )
    _serve(folder, port, engine, seconds, now, host, sharing, proxy if behind_tls else None)


def _sharing(folder: str, names: tuple[str, ...], behind_tls: bool) -> "Sharing":
    """Raise UsageFault without a database, NotDone without an account in it."""
    from crewplan.store.accounts import open_accounts
    from crewplan.store.connecting import open_store
    from crewplan.store.faults import NotDone
    from crewplan.store.place import has_database, place_of
    from dashboard.guard.sharing import Sharing

    if not has_database(folder):
        raise UsageFault(f"--share needs a database: crewplan import {folder} makes one")
    store = open_store(place_of(folder), keep_open=True)
    with store.read() as connection:
        if not open_accounts(connection):
            raise NotDone(
                "nobody has an account yet, so nobody could log in: "
                f"crewplan account add {folder} NAME --role manager"
            )
    return Sharing(store, names, behind_tls)


def demo(
    port: Port = 8050,
    engine: Engine = EngineChoice.auto,
    seconds: Seconds = 10,
) -> None:
    """Plan the invented company and show it as a page on this machine."""
    from crewplan.running.demo import demo_folder

    _serve(str(demo_folder()), port, engine, seconds, None)


def _serve(
    folder: str,
    port: int,
    engine: EngineChoice,
    seconds: float,
    by_hand: str | None,
    host: str = _LOOPBACK,
    sharing: "Sharing | None" = None,
    proxy: str | None = None,
) -> None:
    from crewplan.looking import look_at, looks_from
    from crewplan.running.serving import PortTaken, free_port
    from crewplan.store.reading import newest_version

    version = newest_version(folder)  # before the reading: what comes in between is looked at again
    branch, clock = read_open(folder, by_hand)
    warn(branch.warnings)
    try:
        free_port(port, host)  # told before the plan is made, not after
        say(f"Planning {branch.settings.name} ...")
        with progress("Looking for the best week ..."):
            first = look_at(branch, clock, folder, version, engine.value, seconds)
        warn(first.warnings)
        from dashboard.app import create_app, make_server
        from dashboard.entries.desk import store_of

        now = instant_of(by_hand) if by_hand else None
        store = store_of(folder)
        looks = looks_from(first, folder, now, engine.value, seconds, store)
        # it listens from here on: whoever reads the address can open it at once
        app = create_app(looks, sharing=sharing, source=folder, store=store)
        server = make_server(app, host, free_port(port, host), proxy)
    except PortTaken as error:
        raise OutsideFault(str(error)) from None
    if clock.mark:
        say(clock.mark)
    if sharing is not None and sharing.over_tls:
        say(f"https://{sharing.names[0]}/")
        say(f"The proxy at {proxy} passes on to http://{host}:{server.effective_port}/")
    else:
        say(f"http://{f'[{host}]' if ':' in host else host}:{server.effective_port}/")
    say("Open this address in a browser; Ctrl-C ends it.")
    sys.setswitchinterval(_SWITCH_S)
    server.run()


def register(app: typer.Typer) -> None:
    """Add the commands to the program's."""
    app.command()(board)
    app.command()(demo)
