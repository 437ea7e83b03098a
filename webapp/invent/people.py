"""Invented people, short names and long ones: they belong to nobody."""

from __future__ import annotations

import random

from webapp.invent.chance import pick

_GIVEN = (
    "Odalys", "Teo", "Wilhelmina", "Bo", "Anselm", "Priya", "Ngozi", "Maximiliane", "Ida", "Þórunn", "Kasimir",
    "Xiu", "Amadou",
    "Leocadia", "Jun", "Fern", "Oswin", "Zofia", "Ibrahima", "Élodie", "Marisol", "Tam", "Bartholomew", "Åse",
    "Rukmini", "Dov",
    "Hyacinth", "Sione", "Perpetua", "Emeka", "Noor", "Casper",
)  # fmt: skip
_FAMILY = (
    "Fernwhistle", "Quickbramble", "Oakenshade", "Li-Applestone", "Untergrundwasser", "Pennyfeather-Grout",
    "Tallowby", "Ox",
    "Mbeki-Larkspur", "Drizzlewood", "Vandersoot", "Halfmoon", "Ó Cinderlough", "Kettlesdóttir", "Nightjar",
    "Sparrowhatch",
    "Bellweather", "Rookhurst-Montpelier", "Thimbleby", "Marchpane", "D'Emberly", "Quill", "Copperthwaite",
    "Saltmarshall",
    "Wrenfield", "Ashgrovesson", "Lanternjack", "Plumtree-Okonkwo", "Underwick", "Feverfew",
)  # fmt: skip


def person_name(rng: random.Random) -> str:
    """A given and a family name."""
    return f"{pick(rng, _GIVEN)} {pick(rng, _FAMILY)}"


def person_names(rng: random.Random, count: int) -> list[str]:
    """`count` different names; beyond the stock they are numbered, as a registrar would."""
    names: list[str] = []
    taken: set[str] = set()
    stock = len(_GIVEN) * len(_FAMILY) // 2
    while len(names) < count:
        name = person_name(rng)
        if len(names) >= stock:
            name = f"{name} {len(names)}"
        if name not in taken:
            taken.add(name)
            names.append(name)
    return names


def login_of(name: str, taken: set[str]) -> str:
    """A sign-in from the given name: plain letters, and a number where it is taken."""
    plain = "".join(letter for letter in name.split(maxsplit=1)[0].lower() if "a" <= letter <= "z") or "person"
    login, count = plain, 1
    while login in taken:
        count += 1
        login = f"{plain}{count}"
    taken.add(login)
    return login
