"""The bridge: JSON text in, JSON text out. On the phone it is the only thing that the screens call."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from .arguments import check_arguments
from .calls import CALLS
from .errors import TradeError

if TYPE_CHECKING:
    from typing import Any

# More text than this in one call is refused: the phone's memory does not shrink again.
MOST_TEXT = 4000000


def call(name: str, json_args: str) -> str:
    """Run one call. Answers `{"ok": …}` or `{"error": {"code", "message"}}`, and never raises.

    Example: `call("convert", '{"value": 1, "from_unit": "in_wc", "to_unit": "Pa"}')`. Source: docs/trade.md.
    """
    try:
        return json.dumps({"ok": _run(name, json_args)})
    except TradeError as refusal:
        return json.dumps({"error": {"code": refusal.code, "message": refusal.words}})
    except Exception:  # noqa: BLE001  (the last door: a screen must always get an answer)
        return json.dumps({"error": {"code": "internal", "message": "A fault of ours. The record is untouched."}})


def _run(name: str, json_args: str) -> Any:
    for known, function, _words, described in CALLS:
        if known == name:
            return function(check_arguments(described, _read(json_args)))
    raise TradeError("unknown_call", "There is no such call: " + str(name) + ".")


def _read(json_args: str) -> dict[str, Any]:
    if len(json_args) > MOST_TEXT:
        raise TradeError("too_big", "More text than one call may carry.")
    try:
        args = json.loads(json_args)
    except ValueError:
        raise TradeError("bad_json", "The arguments are not JSON.") from None
    if not isinstance(args, dict):
        raise TradeError("bad_json", "The arguments are not an object.")
    return args
