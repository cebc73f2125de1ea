"""The JSON Schemas of the reports that machines read, one for each command that writes one."""

import json
from importlib.resources import files
from typing import Any

SCHEMAS = {
    "check": "dimaudit-report-1",
    "check-lines": "dimaudit-lines-1",
    "as-read": "dimaudit-as-read-1",
    "stack-up": "dimaudit-stack-up-1",
    "advise": "dimaudit-advice-1",
    "compare": "dimaudit-compare-1",
    "settings": "dimaudit-settings-1",
}
"""Name and version of each format, by its command; a change that breaks readers raises the number."""


def schema(command: str = "check") -> dict[str, Any]:
    """The JSON Schema of a command's report, with the definitions that it shares with the others in it."""
    whole = _load(SCHEMAS[command])
    own = whole.pop("$defs", {})
    return {**whole, "$defs": {**_load("shared")["$defs"], **own}}


def _load(name: str) -> dict[str, Any]:
    text = files("dimaudit.report").joinpath("schema", f"{name}.json").read_text(encoding="utf-8")
    loaded: dict[str, Any] = json.loads(text)
    return loaded
