"""The shop's settings: every key with its unit, default and bounds; read from ohmhours.toml."""

import json
import os
import tomllib
from collections.abc import Mapping
from datetime import date
from math import inf
from pathlib import Path
from typing import Any

import tomlkit
from tomlkit.items import Table

from dashboard.access.page_roles import OWNER
from dashboard.access.page_roles import PRICING as PRICER
from dashboard.access.reader import Refused, reader
from dashboard.settings.definitions import PRICING, SETTINGS, STOCK
from dashboard.settings.types import Setting, SettingsError
from etl.folder.atomic_write import write_whole
from etl.folder.errors import shown_value
from etl.folder.regular_file import small_text

FILE = "ohmhours.toml"
DATABASE = "OHMHOURS_DB"  # environment variable: the folder that the pages read


def database_folder() -> Path:
    """Return the database folder that the pages read: the command line chose it."""
    return Path(os.environ[DATABASE])


def read_settings(folder: Path) -> dict[str, Any]:
    """Return every setting, defaults where ohmhours.toml in the folder is silent or missing.

    Raises SettingsError with the file and the key for an unknown key or a wrong value.
    """
    values = {setting.key: setting.default for setting in SETTINGS}
    path = folder / FILE
    content = _content(path)
    known = {setting.key: setting for setting in SETTINGS}
    for key, value in content.items():
        if key not in known:
            raise SettingsError(
                f"{FILE}: unknown key {shown_value(key)}; known: {', '.join(sorted(known))}"
            )
        values[key] = known[key].check(value, FILE)
    return values


def settings_or_problem(folder: Path) -> dict[str, Any] | SettingsError:
    """Return the settings, or why they cannot be read: a page must open to say it."""
    try:
        return read_settings(folder)
    except SettingsError as problem:
        return problem


def _changed(text: str, chosen: Mapping[str, Any]) -> str:
    """Return the text of the file with these values; None takes a key out."""
    document, known = tomlkit.parse(text), {setting.key: setting for setting in SETTINGS}
    new = {}
    for key, value in chosen.items():
        if value is None:
            document.pop(key, None)
        elif key in document and isinstance(document[key], Table) == isinstance(value, dict):
            _set(document, key, tomlkit.parse(_lines(known[key], value))[key])
        else:
            document.pop(key, None)
            new[key] = value
    plain = [_lines(known[key], value) for key, value in new.items() if not isinstance(value, dict)]
    tables = [_lines(known[key], value) for key, value in new.items() if isinstance(value, dict)]
    written = tomlkit.dumps(document)
    has_tables = any(isinstance(item, Table) for item in document.values())
    parts = [*plain, written] if has_tables else [written, *plain]  # plain keys precede tables
    return "\n".join(part.rstrip("\n") + "\n" for part in [*parts, *tables] if part.strip())


def _set(document: tomlkit.TOMLDocument, key: str, item: Any) -> None:
    """Set a value, and leave one that is the same, and the comment behind it, as written."""
    earlier = document[key]
    if earlier.unwrap() == item.unwrap():
        return
    comment = earlier.trivia.comment
    document[key] = item
    if comment and not isinstance(item, Table):
        document[key].comment(comment.lstrip("# "))


def _text(path: Path) -> str:
    try:
        return small_text(path)
    except (FileNotFoundError, NotADirectoryError):
        return ""


def _content(path: Path) -> dict[str, Any]:
    """Return what the file holds; nothing without one. Raises SettingsError."""
    try:
        return tomllib.loads(small_text(path))
    except (FileNotFoundError, NotADirectoryError):
        return {}
    except OSError as error:
        raise SettingsError(f"{FILE}: cannot be read ({error.strerror})") from None
    except (ValueError, RecursionError) as error:
        reason = "nested too deep" if isinstance(error, RecursionError) else error
        raise SettingsError(f"{FILE}: not a TOML file ({reason}); correct that line") from None


def write_settings(folder: Path, values: Mapping[str, Any]) -> None:
    """Put these settings into ohmhours.toml in one step; keys already in it are kept.

    Comments and the order of keys stay; a new key is written under its meaning and unit.
    Raises SettingsError for an unknown key or a wrong value, Refused for one that is not
    for the current user to change; then the file stays as it was.
    """
    path, chosen = folder / FILE, checked(values)
    read_settings(folder)  # a file that cannot be read is not written over
    text = _changed(_text(path), chosen)
    try:
        write_whole(path, text.encode("utf-8"))
    except OSError as error:
        raise SettingsError(f"{path}: cannot be written ({error.strerror})") from None


def checked(values: Mapping[str, Any]) -> dict[str, Any]:
    """Return the values as the settings hold them.

    Raises SettingsError for an unknown key or a wrong value, Refused for a key that the
    current user may not change.
    """
    known = {setting.key: setting for setting in SETTINGS}
    unknown = sorted(set(values) - set(known))
    if unknown:
        raise SettingsError(f"{FILE}: unknown key {unknown[0]}; known: {', '.join(sorted(known))}")
    if not all(may_save(key) for key in values):
        raise Refused("Your role does not change these settings. Ask the owner of the shop.")
    return {key: known[key].check(value, FILE) for key, value in values.items()}


def may_save(key: str) -> bool:
    """Return True if the current user may change a setting: pricing only those of its pages."""
    of_pricing = {setting.key for setting in (*PRICING, *STOCK)}
    role = reader().role
    return role == OWNER or (role == PRICER and key in of_pricing)


def _lines(setting: Setting, value: Any) -> str:
    remark = f"# {setting.meaning} ({setting.unit})\n"
    if isinstance(value, dict):
        rows = "".join(f"{_toml(k)} = {_toml(v)}\n" for k, v in value.items())
        return f"{remark}[{setting.key}]\n{rows}"
    return f"{remark}{setting.key} = {_toml(value)}\n"


def _toml(value: Any) -> str:
    if isinstance(value, tuple):
        return "[" + ", ".join(_toml(each) for each in value) + "]"
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{key} = {_toml(each)}" for key, each in value.items()) + " }"
    if isinstance(value, str):
        return json.dumps(value, ensure_ascii=False)
    if isinstance(value, date):
        return value.isoformat()
    return "inf" if value == inf else repr(value)


def for_load(settings: Mapping[str, Any]) -> dict[str, str]:
    """Return the settings that the load itself uses, as text."""
    chosen = {"as_of": str(settings["as_of"])} if settings["as_of"] else {}
    supply = settings.get("service_volts", 240)
    if isinstance(supply, dict):
        return chosen | {f"service_volts: {name}": str(volts) for name, volts in supply.items()}
    return chosen | {"service_volts": str(supply)}
