"""A parser of arguments whose refusals repeat what was typed as plain, short text."""

import argparse
from typing import NoReturn

from dashboard.cli.terminal import shortened
from dashboard.text.escape_markdown import printable


class PlainParser(argparse.ArgumentParser):
    """Like its base; only what is unknown to it may hold anything, and is shown plain."""

    def error(self, message: str) -> NoReturn:
        """Show the usage and what was wrong; exit 2."""
        super().error(shortened(printable(message.replace("\n", " "))))
