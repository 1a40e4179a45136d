"""The app itself: which module holds which command, and how a failure is told."""

from __future__ import annotations

import importlib
import os
import sys
from collections.abc import Sequence
from typing import Any

import typer
from typer.core import TyperGroup

from charts.source import FeelmapError

# command -> the module that registers it; only that module is imported when the command runs
COMMANDS = {
    "demo": "demo",
    "start": "writing",
    "new": "writing",
    "check": "checking",
    "show": "looking",
    "find": "looking",
    "pencil": "writing",
    "feels": "looking",
    "fills": "looking",
    "fit": "looking",
    "suggest": "fitting",
    "regrid": "fitting",
    "vary": "fitting",
    "page": "pages",
    "gig": "gig",
    "folder": "pages",
    "count": "live",
    "tap": "live",
    "click": "sound",
    "practice": "sound",
    "export": "exchange",
    "take-in": "exchange",
    "schema": "writing",
}


class LazyGroup(TyperGroup):
    """Builds a command when it is asked for, so that a look-up pays for its own imports only."""

    def list_commands(self, ctx: Any) -> list[str]:
        return list(COMMANDS)

    def resolve_command(self, ctx: Any, args: list[str]) -> Any:
        name = args[0]
        if name not in COMMANDS and not name.startswith("-") and not ctx.resilient_parsing:
            from charts.spelling import nearest

            like = nearest(name, COMMANDS)
            raise FeelmapError(
                f"no command is called “{name}”",
                f"did you mean {like}?" if like else "feelmap --help lists them",
            )
        return super().resolve_command(ctx, args)

    def get_command(self, ctx: Any, cmd_name: str) -> Any:
        if cmd_name not in COMMANDS:
            return None
        module = importlib.import_module(f"render.cli.{COMMANDS[cmd_name]}")
        app = typer.Typer(rich_markup_mode=None, add_completion=False)
        module.register(app)
        # the one command that is asked for: making a command costs as much as reading a chart
        app.registered_commands = [each for each in app.registered_commands if each.name == cmd_name]
        return typer.main.get_command(app)


def _version(value: bool) -> None:
    if value:
        from charts import __version__

        typer.echo(f"feelmap {__version__}")
        raise typer.Exit()


def _root(
    version: bool = typer.Option(
        False, "--version", callback=_version, is_eager=True, help="Print the version."
    ),
) -> None:
    """Song charts for gigging drummers: write them, check every fill against its feel, print, practise, play.

    Start with: feelmap demo
    """


def build() -> typer.Typer:
    """The app with its completion commands."""
    app = typer.Typer(
        cls=LazyGroup, rich_markup_mode=None, pretty_exceptions_enable=False, no_args_is_help=True
    )
    app.callback()(_root)
    return app


def run(arguments: Sequence[str]) -> int:
    """Run one command line and return its exit status."""
    try:
        typer.main.get_command(build())(list(arguments), prog_name="feelmap")
        return 0
    except SystemExit as done:
        return done.code if isinstance(done.code, int) else 0
    except FeelmapError as error:
        from render.terminal.findings import tell_error

        tell_error(error)
        return 2
    except KeyboardInterrupt:
        sys.stderr.write("stopped\n")
        return 130
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())  # the reader has gone: say no more
        return 141
    except (OSError, RecursionError, MemoryError) as error:
        from render.terminal.findings import tell_error

        tell_error(FeelmapError(_in_words(error), "check the path and its permissions"))
        return 2


def _in_words(error: BaseException) -> str:
    if isinstance(error, OSError):
        name = f" ({error.filename})" if error.filename else ""
        return f"the system says: {(error.strerror or str(error)).lower()}{name}"
    return "this is too large to work on"
