"""The command line: load, call one public function, print."""

from pvkit.cli.commands import app, main

__all__ = ["app", "main"]
