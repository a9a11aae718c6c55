"""The command line: parse, call, print, exit."""

from installgen.cli.commands import main

__all__ = ["main"]
