"""The app itself: which module holds which command, and how a failure is told."""

from __future__ import annotations

import importlib
import os
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import typer
from typer.core import TyperGroup

from charts.source import FeelmapError

# group -> command -> the module of its function; only that module is imported when the command runs
GROUPS = {
    "Start": {"demo": "demo", "start": "book_files", "new": "book_files"},
    "Look up": {
        "show": "looking",
        "find": "looking",
        "gig": "looking",
        "feels": "looking",
        "fills": "looking",
    },
    "Fix": {
        "check": "checking",
        "why": "checking",
        "suggest": "fitting",
        "fit": "looking",
        "regrid": "fitting",
        "vary": "fitting",
        "pencil": "book_files",
    },
    "Practice": {"practice": "sound", "click": "sound", "count": "live", "tap": "live"},
    "Share": {"page": "pages", "folder": "pages", "export": "exchange", "import": "exchange"},
    "For editors": {"schema": "book_files"},
}
COMMANDS = {name: module for group in GROUPS.values() for name, module in group.items()}


COMPLETING = "_FEELMAP_COMPLETE"  # set while a shell asks what may follow
STOPPED, GONE = 130, 141  # exit status: by Ctrl-C, and where nobody reads on


class LazyGroup(TyperGroup):
    """Builds a command when it is asked for, so that a look-up pays for its own imports only."""

    def list_commands(self, ctx: Any) -> list[str]:
        return list(COMMANDS)

    def format_commands(self, ctx: Any, formatter: Any) -> None:
        """The commands in groups, each with as much of its first sentence as fits in a line."""
        longest = max(map(len, COMMANDS))
        room = formatter.width - longest - 6
        for group, names in GROUPS.items():
            briefs = [(name, self.get_command(ctx, name).help or "") for name in names]
            with formatter.section(group):
                formatter.write_dl([(f"{name:<{longest}}", _in_brief(text, room)) for name, text in briefs])

    def resolve_command(self, ctx: Any, args: list[str]) -> Any:
        name = args[0]
        if name not in COMMANDS and not name.startswith("-") and not ctx.resilient_parsing:
            from render.cli.usage import unknown_command

            raise unknown_command(name, COMMANDS)
        return super().resolve_command(ctx, args)

    def get_command(self, ctx: Any, cmd_name: str) -> Any:
        if cmd_name not in COMMANDS:
            return None
        module = importlib.import_module(f"render.cli.{COMMANDS[cmd_name]}")
        app = typer.Typer(rich_markup_mode=None, add_completion=False)
        app.command(cmd_name)(getattr(module, "import_" if cmd_name == "import" else cmd_name))
        if COMPLETING in os.environ:
            from render.cli.completion import offer

            offer(app)
        return typer.main.get_command(app)


def _in_brief(text: str, room: int) -> str:
    """The first sentence up to the sign that parts it where it is longer than a line; never half a phrase.

    >>> _in_brief("New fills out of one: each on the grid, playable at the tempo. More.", 40)
    'New fills out of one'
    """
    sentence = " ".join(text.split("\n\n", maxsplit=1)[0].split()).partition(". ")[0].rstrip(".")
    for sign in (";", ":", ","):
        if len(sentence) <= room:
            break
        sentence = sentence[: max(sentence.rfind(sign, 0, room), 0)] or sentence
    return sentence


def _version(context: typer.Context, value: bool) -> None:
    if value and not context.resilient_parsing:
        from charts.version import VERSION

        typer.echo(f"feelmap {VERSION}")
        raise typer.Exit()


def _install_completion(context: typer.Context, value: bool) -> None:
    if value and not context.resilient_parsing:
        from render.tab.install import install, this_shell

        shell = this_shell()
        typer.echo(f"Tab completion for {shell} is in {install(shell, Path.home())}; open a new terminal")
        raise typer.Exit()


def _show_completion(context: typer.Context, value: bool) -> None:
    if value and not context.resilient_parsing:
        from render.tab.install import script, this_shell

        typer.echo(script(this_shell()), nl=False)
        raise typer.Exit()


def _root(
    version: bool = typer.Option(
        False, "--version", callback=_version, is_eager=True, help="Print the version."
    ),
    install_completion: bool = typer.Option(
        False,
        "--install-completion",
        callback=_install_completion,
        is_eager=True,
        help="Install Tab completion for this shell: bash, zsh or fish.",
    ),
    show_completion: bool = typer.Option(
        False,
        "--show-completion",
        callback=_show_completion,
        is_eager=True,
        help="Print the completion script for this shell.",
    ),
) -> None:
    """Song charts for gigging drummers: write them, check every fill against its feel, print, practice, play.

    Start with: feelmap demo
    """


def build() -> typer.Typer:
    """The app with the options that are before a command."""
    app = typer.Typer(
        cls=LazyGroup,
        add_completion=False,  # the library's script for zsh evaluates what it is answered
        rich_markup_mode=None,
        no_args_is_help=True,
        pretty_exceptions_enable=False,
        context_settings={"help_option_names": ["--help", "-h"]},
    )
    app.callback()(_root)
    return app


def run(arguments: Sequence[str]) -> int:
    """Run one command line and return its exit status."""
    try:
        status = _answer(list(arguments))
        sys.stdout.flush()
        return status
    except FeelmapError as error:
        from render.terminal.findings import tell_error

        tell_error(error)
        return 2
    except KeyboardInterrupt:
        return STOPPED
    except (OSError, RecursionError, MemoryError) as error:
        return undone(error)
    except Exception as error:  # a fault of ours: no reader of a chart is shown its inside
        return _at_fault(error)


def _at_fault(error: Exception) -> int:
    """Report a fault of the program itself, whole where ``FEELMAP_TRACEBACK`` is set, and the exit status."""
    from render.terminal.findings import tell_error

    if "FEELMAP_TRACEBACK" in os.environ:
        raise error
    name = f"{type(error).__name__}: {error}" if str(error) else type(error).__name__
    hint = "please report it with the file; FEELMAP_TRACEBACK=1 before the command prints the details"
    tell_error(FeelmapError(f"Feelmap itself failed ({name[:200]})", hint))
    return 2


def _answer(arguments: list[str]) -> int:
    """One command line through the option parser; what that does not take is reported like all else."""
    from typer.exceptions import TyperException

    group: Any = typer.main.get_command(build())
    if COMPLETING in os.environ:
        from render.tab.answer import answer

        answer(group, os.environ[COMPLETING])
        return 0
    try:
        status = group.main(arguments, prog_name="feelmap", standalone_mode=False)
    except TyperException as error:
        if not arguments:  # it is the help
            typer.echo(error.format_message(), err=True)
            return 2
        from render.cli.usage import usage_error

        raise usage_error(error) from None
    except SystemExit as done:
        if isinstance(done.__context__, BrokenPipeError):  # the parser has put it away
            raise done.__context__ from None
        return done.code if isinstance(done.code, int) else 0
    return status if isinstance(status, int) else 0


def undone(error: BaseException) -> int:
    """Say what the system, not the user, put in a command's way, and return the exit status."""
    _let_go_of_stdout()
    if isinstance(error, BrokenPipeError):
        return GONE
    from render.terminal.findings import tell_error

    tell_error(FeelmapError(_in_words(error), "check the path, its permissions and the room on the disk"))
    return 2


def _let_go_of_stdout() -> None:
    """Where standard output takes no more, the interpreter shall not try again at its end."""
    try:
        sys.stdout.flush()
    except OSError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _in_words(error: BaseException) -> str:
    if isinstance(error, OSError):
        name = f" ({error.filename})" if error.filename else ""
        return f"the system says {(error.strerror or str(error)).lower()}{name}"
    return "this is too large to work on"
