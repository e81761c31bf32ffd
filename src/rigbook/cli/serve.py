"""`rigbook serve [FOLDER]`: the workbench in the browser."""

from __future__ import annotations

import socket
from importlib import import_module
from pathlib import Path
from types import FrameType

import click

from rigbook.cli import status
from rigbook.cli.trouble import CommandTrouble

LOOPBACK = ("127.0.0.1", "::1", "localhost")


@click.command("serve")
@click.argument("folder", type=click.Path(path_type=Path), default=".")
@click.option("--port", type=click.IntRange(1, 65535), default=8765, show_default=True, help="Port to listen on.")
@click.option(
    "--host", default="127.0.0.1", show_default=True, help="Address to listen on; others can reach any but this."
)
def command(folder: Path, port: int, host: str) -> None:
    """Serve a shop folder's workbench until Ctrl-C."""
    from rigbook.desk.files import kind_at, short
    from rigbook.desk.shopfolder import NotAShop, find_shop

    try:
        if kind_at(folder) == "nothing":
            raise CommandTrouble(f"{folder} is not there; `rigbook new {folder}` makes a shop folder")
    except OSError as why:
        raise CommandTrouble(f"{short(folder)} cannot be read: {why.strerror}") from why
    try:
        root = find_shop(folder)
    except NotAShop as wrong:
        raise CommandTrouble(str(wrong)) from wrong
    _free(host, port)
    try:
        import uvicorn

        # by name: the command line and the web are siblings that do not know each other
        create_app = import_module("rigbook.web.app").create_app
    except ModuleNotFoundError as missing:
        raise CommandTrouble(
            f"the workbench needs {missing.name}, which is not installed; install rigbook with its web part",
            status.MISSING_PART,
        ) from missing
    if host not in LOOPBACK:
        click.echo("Others in your network can reach this address: there is no password.", err=True)
    shown = f"[{host}]" if ":" in host else host
    click.echo(f"Rigbook serves {root} on http://{shown}:{port}/ ; Ctrl-C ends it.", err=True)
    app = create_app(root, hosts=() if host in LOOPBACK else (host,))

    class Server(uvicorn.Server):
        """Lets waiting pages go when it is told to end, so that it ends at once."""

        def handle_exit(self, sig: int, frame: FrameType | None) -> None:
            app.state.reading.bench.worker.close()
            super().handle_exit(sig, frame)

    Server(uvicorn.Config(app, host=host, port=port, log_level="warning", timeout_graceful_shutdown=5)).run()


def _free(host: str, port: int) -> None:
    """Say clearly that a port is taken or an address is not ours, before anything is started."""
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    with socket.socket(family, socket.SOCK_STREAM) as trial:
        trial.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            trial.bind((host, port))
        except OSError as why:
            raise CommandTrouble(f"cannot listen on {host} port {port}: {why.strerror}; name another --port") from why
