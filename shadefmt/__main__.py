"""`python -m shadefmt`: the same as the command."""

from shadefmt.cli.main import entry

entry()
