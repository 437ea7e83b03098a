"""The trade's words for the phone, from shell/glossary/glossary.yaml: by the alphabet, with where each is marked."""

import json
from typing import TypedDict

import yaml

from service_worker.build.places import Places

NO_SOURCE = "common practice, no source"
HEADER = "// Made from shell/glossary/glossary.yaml by service_worker/build/glossary.py. Not edited by hand.\n"
WORD_TYPE = "export interface Word { term: string; also?: string; words: string; source?: string; marks: string[] }"


class Entry(TypedDict):
    """One word. `marks`: how it stands in a text; where only a part of a mark is the word, that part is in brackets."""

    term: str
    also: str | None
    words: str
    source: str
    marks: list[str]


def glossary(places: Places) -> list[Entry]:
    """Return every entry; one without marks is marked where its term stands."""
    written = yaml.safe_load((places.phone / "shell" / "glossary" / "glossary.yaml").read_text("utf-8"))
    entries = [
        Entry(
            term=one["term"],
            also=one.get("also"),
            words=one["words"],
            source=one["source"],
            marks=one.get("marks") or [one["term"]],
        )
        for one in written
    ]
    return sorted(entries, key=lambda entry: entry["term"].lower())


def glossary_module(places: Places) -> str:
    """Return the TypeScript that the phone's second part takes in. A source is told where there is one."""
    told = [
        {name: value for name, value in entry.items() if value not in (None, NO_SOURCE)} for entry in glossary(places)
    ]
    return f"{HEADER}{WORD_TYPE}\n\nexport const GLOSSARY: Word[] = {json.dumps(told)};\n"
