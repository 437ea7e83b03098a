"""The licences of others' work inside the shell, as they must travel with it."""

import json

from service_worker.build.places import Places

SHIPPED = (
    "@fontsource/atkinson-hyperlegible-next",
    "@micropython/micropython-webassembly-pyscript",
    "@preact/signals-core",
    "idb",
    "lit-html",
)
# The engine's package names its licence (MIT) without the text.
MICROPYTHON = """The MIT License (MIT)

Copyright (c) 2013-2025 Damien P. George and the MicroPython contributors

Permission is hereby granted, free of charge, to any person obtaining a copy of this software and associated
documentation files (the "Software"), to deal in the Software without restriction, including without limitation the
rights to use, copy, modify, merge, publish, distribute, sublicense, and/or sell copies of the Software, and to
permit persons to whom the Software is furnished to do so, subject to the following conditions:

The above copyright notice and this permission notice shall be included in all copies or substantial portions of
the Software.

THE SOFTWARE IS PROVIDED "AS IS", WITHOUT WARRANTY OF ANY KIND, EXPRESS OR IMPLIED, INCLUDING BUT NOT LIMITED TO
THE WARRANTIES OF MERCHANTABILITY, FITNESS FOR A PARTICULAR PURPOSE AND NONINFRINGEMENT. IN NO EVENT SHALL THE
AUTHORS OR COPYRIGHT HOLDERS BE LIABLE FOR ANY CLAIM, DAMAGES OR OTHER LIABILITY, WHETHER IN AN ACTION OF CONTRACT,
TORT OR OTHERWISE, ARISING FROM, OUT OF OR IN CONNECTION WITH THE SOFTWARE OR THE USE OR OTHER DEALINGS IN THE
SOFTWARE.
"""


def licences(places: Places) -> str:
    """Return all of them as one text."""
    return "\n\n".join(_licence(places, name) for name in SHIPPED)


def _licence(places: Places, name: str) -> str:
    folder = places.node_modules / name
    package = json.loads((folder / "package.json").read_text("utf-8"))
    own = folder / "LICENSE"
    text = MICROPYTHON if name.startswith("@micropython/") else own.read_text("utf-8")
    return f"== {name} {package['version']} ({package['license']})\n\n{text.strip()}\n"
