"""The `rigbook` program: a table of commands, each imported only when it is called.

Three kinds of trouble are kept apart: the user's document (file:line:column, status 2), the user's command
(one line, status 2) and our own fault (one line and a report file, status 4).
"""

from __future__ import annotations

import importlib
import os
import sys
from collections.abc import Mapping, Sequence
from types import MappingProxyType

import click

from rigbook.cli import status

COMMANDS: Mapping[str, tuple[str, str]] = MappingProxyType(
    {
        "new": ("rigbook.cli.new", "Make a shop folder with the example parts, vehicles and builds."),
        "check": ("rigbook.cli.check", "Work builds out: verdict, findings, key figures."),
        "explain": ("rigbook.cli.explain", "Show one figure or finding as a hand calculation."),
        "settle": ("rigbook.cli.settle", "Write worked-out wires, fuses and outputs into the build."),
        "layout": ("rigbook.cli.layout", "Lay out what is left open on a face."),
        "aim": ("rigbook.cli.aim", "Aim lamps so that areas get the light they ask for, or fit as few as do."),
        "try": ("rigbook.cli.try_", "Step through states: press, set, lose, wait."),
        "compare": ("rigbook.cli.compare", "Compare two builds."),
        "sweep": ("rigbook.cli.sweep", "Sweep tolerances: percentiles and what drives them."),
        "sheet": ("rigbook.cli.sheet", "Write one table as .csv or .xlsx."),
        "book": ("rigbook.cli.book", "Typeset the build book as PDF."),
        "draw": ("rigbook.cli.draw", "Write one drawing."),
        "page": ("rigbook.cli.page", "Write the page a customer opens to try the switches."),
        "approve": ("rigbook.cli.approve", "Record what a customer answered on the page."),
        "serve": ("rigbook.cli.serve", "Open the workbench in the browser."),
    }
)
"""Command name to module and one-line help. The module holds a click command named `command`."""


class LazyGroup(click.Group):
    """A group that knows its commands by name and imports one only when it runs."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Names in the order of the table."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Import the command's module; None for a name that is not in the table."""
        if cmd_name not in COMMANDS:
            return None
        command = importlib.import_module(COMMANDS[cmd_name][0]).command
        assert isinstance(command, click.Command)
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """List the commands from the table, without importing them."""
        with formatter.section("Commands"):
            formatter.write_dl([(name, about) for name, (_, about) in COMMANDS.items()])

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """As click does, and name the nearest command when there is none of that name."""
        try:
            return super().resolve_command(ctx, args)
        except click.UsageError as wrong:
            import difflib

            near = difflib.get_close_matches(args[0], COMMANDS, n=1)
            if near and "Did you mean" not in wrong.message:
                raise click.UsageError(f"{wrong.message} Did you mean {near[0]!r}?", ctx=ctx) from wrong
            raise


@click.group(cls=LazyGroup, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="rigbook", prog_name="rigbook")
def rigbook() -> None:
    """One book for each rig: work out an emergency or special-service vehicle from one text file.

    Check local law, the current edition of every standard, and licensed practice before work that can hurt someone.
    """


def run(arguments: Sequence[str] | None = None) -> int:
    """Run one command and give its exit status. Never raises for what a user did."""
    from rigbook.cli.trouble import CommandTrouble, report_own_fault

    try:
        outcome = rigbook.main(args=arguments, prog_name="rigbook", standalone_mode=False)
        sys.stdout.flush()
        return outcome if isinstance(outcome, int) else status.WORKED
    except click.exceptions.Exit as left:
        return left.exit_code
    except (CommandTrouble, click.ClickException) as wrong:
        wrong.show(file=sys.stderr)
        return wrong.exit_code
    except (click.Abort, KeyboardInterrupt):
        click.echo("rigbook: stopped", err=True)
        return status.INTERRUPTED
    except (BrokenPipeError, SystemExit):  # click leaves so when a pipe is closed, with the status of a finding
        # Whoever read our output has gone: point the descriptor elsewhere so that the interpreter's flush is silent.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return status.WORKED
    except Exception as fault:  # the outermost door: whatever arrives here is our own fault, and is reported as such
        click.echo(report_own_fault(fault, list(arguments if arguments is not None else sys.argv[1:])), err=True)
        return status.OWN_FAULT


def main() -> None:
    """Entry point of the installed program."""
    sys.exit(run())


if __name__ == "__main__":
    main()
