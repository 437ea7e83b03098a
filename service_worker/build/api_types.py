"""TypeScript for the API: paths and bodies from the app's OpenAPI document, error codes from its StrEnum."""

import ast
import subprocess
import sys
import tempfile
from pathlib import Path

from service_worker.build.node import run_node
from service_worker.build.places import Places

SECONDS = 120
# In a process of its own: the build must not fill its own process with the app, nor the app with the build.
PRINT_OPENAPI = """
import json, sys, tempfile
from pathlib import Path
from webapp import create_app
with tempfile.TemporaryDirectory() as folder:
    app = create_app({"TESTING": True, "SECRET_KEY": "only for the document", "UNDERCROFT_DATA": folder})
    document = app.test_client().get("/api/v1/openapi.json")
    assert document.status_code == 200, document.status
    sys.stdout.write(json.dumps(document.get_json(), sort_keys=True))
"""


def openapi_document(places: Places) -> str:
    """Return the app's OpenAPI document as JSON with sorted keys."""
    done = subprocess.run(
        [sys.executable, "-c", PRINT_OPENAPI],
        cwd=places.root,
        capture_output=True,
        text=True,
        timeout=SECONDS,
        check=False,
    )
    if done.returncode != 0:
        raise RuntimeError(f"the app gave no OpenAPI document:\n{done.stderr}")
    return done.stdout


def api_types(places: Places) -> str:
    """Return the API's types."""
    with tempfile.TemporaryDirectory() as folder:
        document = Path(folder) / "openapi.json"
        document.write_text(openapi_document(places), "utf-8")
        script = places.node_modules / "openapi-typescript" / "bin" / "cli.js"
        return run_node([script, document], folder=places.phone)


def error_codes(places: Places) -> str:
    """Return the union of all error codes, from the StrEnum `ErrorCode` in webapp/errors.py."""
    module = ast.parse((places.webapp / "errors.py").read_text("utf-8"))
    enum = next(node for node in module.body if isinstance(node, ast.ClassDef) and node.name == "ErrorCode")
    codes = [
        f'"{node.value.value}"'
        for node in enum.body
        if isinstance(node, ast.Assign) and isinstance(node.value, ast.Constant) and isinstance(node.value.value, str)
    ]
    return (
        "// Made from ErrorCode in webapp/errors.py by service_worker/build/api_types.py. Not edited by hand.\n"
        f"export const ERROR_CODES = [{', '.join(codes)}] as const;\n"
        "export type ErrorCode = (typeof ERROR_CODES)[number];\n"
    )
