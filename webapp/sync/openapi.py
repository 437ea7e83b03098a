"""The OpenAPI document, made from the marshmallow schemas. The phone's types are generated from it."""

from __future__ import annotations

from functools import cache
from typing import Any

from apispec import APISpec
from apispec.ext.marshmallow import MarshmallowPlugin
from marshmallow import Schema
from marshmallow.fields import Field

from webapp.sheets.schemas import CompanyOut
from webapp.sync import fields, schemas
from webapp.sync.bodies import BODIES

OPENAPI_VERSION = "3.0.3"
API_VERSION = "1.0.0"
JSON = "application/json"
JPEG = "image/jpeg"

FIELD_SHAPES: dict[type[Field[Any]], dict[str, Any]] = {
    fields.Text: {"type": "string"},
    fields.Formed: {"type": "string"},
    fields.Choice: {"type": "string"},
    fields.Whole: {"type": "integer"},
    fields.Number: {"type": "number"},
    fields.YesNo: {"type": "boolean"},
    fields.Uuids: {"type": "array", "items": {"type": "string"}, "maxItems": 200},
    fields.Names: {"type": "array", "items": {"type": "string"}, "maxItems": 100},
    fields.AnyObject: {"type": "object", "additionalProperties": True},
}


@cache
def openapi_document() -> dict[str, Any]:
    """The whole document."""
    plugin = MarshmallowPlugin(schema_name_resolver=_schema_name)
    spec = APISpec(
        "Undercroft sync", API_VERSION, OPENAPI_VERSION, plugins=[plugin], info={"description": "docs/sync.md"}
    )
    if plugin.converter is None:
        raise RuntimeError("apispec gave its plugin no converter")
    plugin.converter.add_attribute_function(_shape_of)  # type: ignore[no-untyped-call]  # the library has no types here
    spec.components.security_scheme("phone", {"type": "http", "scheme": "bearer"})
    spec.components.schema("Error", schema=schemas.ErrorOut)
    for body in BODIES.values():
        spec.components.schema(type(body).__name__, schema=body)
    _describe_paths(spec)
    return spec.to_dict()


def _describe_paths(spec: APISpec) -> None:
    _path(
        spec, "/enrol", "post", "A short code for a token.", 200, schemas.EnrolOut, takes=schemas.EnrolIn, token=False
    )
    _path(
        spec,
        "/events",
        "post",
        "Store a batch; each event gets its own result.",
        200,
        schemas.BatchOut,
        takes=schemas.BatchIn,
    )
    _path(spec, "/manifest", "get", "What this phone may have.", 200, schemas.ManifestOut)
    _path(spec, "/company", "get", "What the company keeps for all its phones.", 200, CompanyOut)
    _path(
        spec,
        "/sites/{site_id}/events",
        "get",
        "What follows the cursor.",
        200,
        schemas.StreamPageOut,
        query=schemas.PullIn,
    )
    _path(spec, "/procedures/{procedure_hash}", "get", "A compiled procedure, immutable.", 200, fields.AnyObject)
    _path(
        spec,
        "/photos/{sha256}",
        "put",
        "The bytes of a photo that a stored event names.",
        201,
        schemas.PhotoOut,
        takes=JPEG,
    )
    _path(spec, "/photos/{sha256}", "get", "The bytes of a photo.", 200, JPEG)
    _path(spec, "/openapi.json", "get", "This document.", 200, fields.AnyObject, token=False)


def _path(
    spec: APISpec,
    path: str,
    method: str,
    words: str,
    status: int,
    gives: Any,
    *,
    takes: Any = None,
    query: type[Schema] | None = None,
    token: bool = True,
) -> None:
    names = [part[1:-1] for part in path.split("/") if part.startswith("{")]
    inside: list[Any] = [{"in": "path", "name": n, "required": True, "schema": {"type": "string"}} for n in names]
    operation: dict[str, Any] = {
        "summary": words,
        "operationId": f"{method}_"
        + "_".join(part for part in path.split("/") if part and "{" not in part).replace(".", "_"),
        "parameters": inside + ([{"in": "query", "schema": query}] if query else []),
        "responses": {
            str(status): {"description": words, "content": _content(gives)},
            "default": {"description": "An error of the request itself.", "content": {JSON: {"schema": "Error"}}},
        },
        "security": [{"phone": []}] if token else [],
    }
    if takes is not None:
        operation["requestBody"] = {"required": True, "content": _content(takes)}
    spec.path(path=f"/api/v1{path}", operations={method: operation})


def _content(what: Any) -> dict[str, Any]:
    if what == JPEG:
        return {JPEG: {"schema": {"type": "string", "format": "binary"}}}
    if what is fields.AnyObject:
        return {JSON: {"schema": FIELD_SHAPES[fields.AnyObject]}}
    return {JSON: {"schema": what}}


def _shape_of(_converter: Any, field: Field[Any], **_: Any) -> dict[str, Any]:
    """The shape of one of our own fields; limits travel in the field's metadata."""
    found = next((FIELD_SHAPES[kind] for kind in type(field).__mro__ if kind in FIELD_SHAPES), None)
    return dict(found or {})


def _schema_name(schema: Any) -> str:
    """`EventIn` stays `EventIn`: one name for a shape on both sides."""
    kind = schema if isinstance(schema, type) else type(schema)
    return kind.__name__
