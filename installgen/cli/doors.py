"""The door between errors and the terminal: one clear message, exit code 2, no traceback."""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from typing import Any

import click

from installgen.collector import collect_seldom
from installgen.errors import InstallgenError
from installgen.spec.folder import FolderProblem


class Door(click.Group):
    """A group of commands whose errors leave as messages."""

    def main(
        self,
        args: Sequence[str] | None = None,
        prog_name: str | None = None,
        complete_var: str | None = None,
        standalone_mode: bool = True,
        **extra: Any,
    ) -> Any:
        """Run a command; every expected error ends in exit code 2."""
        standalone = standalone_mode
        if standalone:
            collect_seldom()
        debug = "--debug" in (sys.argv[1:] if args is None else args)
        try:
            outcome = super().main(args, prog_name, complete_var, standalone_mode=False, **extra)
        except click.exceptions.Exit as leave:
            return _leave(leave.exit_code, standalone)
        except click.ClickException as error:
            error.show()
            return _leave(2, standalone)
        except (InstallgenError, FolderProblem) as error:
            if debug:
                raise
            click.echo(str(error), err=True)
            return _leave(2, standalone)
        except BrokenPipeError:
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
            return _leave(2, standalone)
        except (click.Abort, KeyboardInterrupt):
            click.echo("stopped", err=True)
            return _leave(2, standalone)
        except OSError as error:
            if debug:
                raise
            reason = (error.strerror or type(error).__name__).lower()
            click.echo(f"{error.filename or 'a file'}: {reason}", err=True)
            return _leave(2, standalone)
        return _leave(outcome if isinstance(outcome, int) else 0, standalone)


def _leave(code: int, standalone: bool) -> int:
    if standalone:
        sys.exit(code)
    return code
