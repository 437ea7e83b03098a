"""The OpenAPI document, made from the marshmallow schemas. The phone's types are generated from it."""

from __future__ import annotations

from functools import cache
from typing import Any

from apispec import APISpec
from apispec.ext.marshmallow import MarshmallowPlugin

from webapp.sync import bodies, fields, schemas

OPENAPI_VERSION = "3.0.3"
API_VERSION = "1.0.0"


@cache
def openapi_document() -> dict[str, Any]:
    """The whole document."""
    plugin = MarshmallowPlugin()
    spec = APISpec("Undercroft sync", API_VERSION, OPENAPI_VERSION, plugins=[plugin])
    _map_fields(plugin)
    return spec.to_dict()


def _map_fields(plugin: Any) -> None: ...
