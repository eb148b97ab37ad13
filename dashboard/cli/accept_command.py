"""The command `accept`: give a word a meaning for all history, or take it back."""

import argparse
from typing import Any

from dashboard.cli.argument_types import text
from dashboard.cli.shop import default_database
from dashboard.cli.terminal import say
from dashboard.settings.file import for_load, read_settings
from etl.mapping.accepted_words import AcceptedWord
from etl.rebuild import accept_words


def add_accept(added: "argparse._SubParsersAction[Any]", common: argparse.ArgumentParser) -> None:
    """Add the command."""
    command = added.add_parser(
        "accept",
        parents=[common],
        help="give an unknown word a meaning, for all that was ever loaded",
        epilog='example: ohmhours accept sample_shop_2026 symptom "frz ok box hot" warm_fresh_food',
    )
    command.add_argument(
        "mapping", type=text, metavar="MAPPING", help="the mapping whose word it is"
    )
    command.add_argument(
        "field", type=text, metavar="FIELD", help="symptom, root_cause, technician, …"
    )
    command.add_argument("word", type=text, metavar="WORD", help="the word as written")
    meaning = command.add_mutually_exclusive_group(required=True)
    meaning.add_argument(
        "id", type=text, nargs="?", metavar="ID", help="the id, or for a name the name, it means"
    )
    meaning.add_argument("--undo", action="store_true", help="take an accepted word back")
    command.set_defaults(run=accept_word)


def accept_word(chosen: argparse.Namespace) -> int:
    """Give a word a meaning for all history, or take it back."""
    folder = chosen.db or default_database()
    settings = for_load(read_settings(folder))
    word = AcceptedWord(chosen.mapping, chosen.field, chosen.word, chosen.id or "")
    if chosen.undo:
        accept_words(folder, [], settings, withdrawn=[word])
        say(f'"{chosen.word}" means itself again in everything that {chosen.mapping} names.')
        return 0
    accept_words(folder, [word], settings)
    say(f'"{chosen.word}" now means {chosen.id} in everything that {chosen.mapping} names.')
    return 0
