"""An invented town: streets, house numbers, postcodes and telephone numbers that exist nowhere.

Postcodes begin with 000 and area parts with 0 or 1: neither is given out in the North American schemes (from memory
of the postal and numbering plans), and 555-0100 to 555-0199 is the range kept for made-up stories.
"""

from __future__ import annotations

from dataclasses import dataclass

from webapp.invent.chance import pick, stream, whole

TOWN = "Marrowick"
DISTRICTS = ("Marrowick", "Marrowick Underhill", "Upper Quillbeck", "Sallowmere", "Tinderholt St. Osk", "Brae")
HOUSES_PER_STREET = 40
STREETS_PER_QUARTER = 25

_BEFORE = ("", "Old ", "Upper ", "Nether ", "Little ", "Long ", "East ", "West ", "Far ", "Cold ", "Saint Osk's ")
_STEMS = (
    "Coppernail", "Lanternrow", "Bellows", "Thimble", "Hollyquarry", "Ropewalker's", "Saltcellar", "Marrowbridge",
    "Emberly",
    "Kettle", "Sootfall", "Pumphouse", "Gaslight", "Cellarman's", "Wickmaker's", "Duskwater", "Cinderpath", "Ninepenny",
    "Candlewright", "Undermill", "Flintwhistle", "Boilerman's", "Plumbline", "Drizzle", "Sparrowgate", "Tallowhill",
    "Whistlepipe", "Oak", "Elm", "Foundling", "Vesperbell", "Quenchwell", "Rainbutt", "Stovepipe", "Hearthstone",
    "Muffler",
)  # fmt: skip
_KINDS = (
    "Street",
    "Lane",
    "Rise",
    "Row",
    "Court",
    "Passage",
    "Terrace",
    "Road",
    "Way",
    "Close",
    "Steps",
    "Gardens North",
)
_DOORS = ("", "", "", "", "", "", " Apt 2", " Unit B", " Rear house", " Basement flat, side door")
_ACCESS = (
    "Key under the blue pot", "Dog in the yard, ring first", "Heater behind the washing machine",
    "Low beam on the cellar stairs, mind your head", "Hatch in the kitchen floor", "Neighbor at 14 has the key",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Address:
    """Where a heater stands, in the words somebody would type."""

    number: int  # the how-manieth address of the town, from 0
    street: str
    town: str
    postcode: str
    phone: str
    access_words: str | None


def street_name(seed: int, index: int) -> str:
    """The name of the town's street number `index`; no name comes twice."""
    stems, kinds = len(_STEMS), len(_KINDS)
    turn, place = divmod(index, stems * kinds)
    shuffled = (place * 197 + seed) % (stems * kinds)  # 197 is prime to 432, so this visits every pair once
    stem, kind = divmod(shuffled, kinds)
    rest, before = divmod(turn, len(_BEFORE))
    return f"{_BEFORE[before]}{_STEMS[stem]} {_KINDS[kind]}" + (f" {rest + 1}" if rest else "")


def phone_number(seed: int, index: int) -> str:
    """A number that rings nowhere: an area part nobody has, and 555-01xx."""
    place = (index * 7919 + seed) % 19_000
    return f"({10 + place // 100:03d}) 555-01{place % 100:02d}"


def address(seed: int, number: int) -> Address:
    """The town's address `number`: any size of town without keeping it in memory."""
    rng = stream(seed, "address", number)
    quarter, within = divmod(number, HOUSES_PER_STREET * STREETS_PER_QUARTER)
    house, street = divmod(within, STREETS_PER_QUARTER)  # neighbors in number live in different streets
    street_index = quarter * STREETS_PER_QUARTER + street
    place = street_index % len(DISTRICTS)
    return Address(
        number=number,
        street=f"{house * 6 + whole(rng, 1, 6)} {street_name(seed, street_index)}{pick(rng, _DOORS)}",
        town=DISTRICTS[place],
        postcode=f"00{100 + (street_index * 7 + place) % 100:03d}",
        phone=phone_number(seed, number),
        access_words=pick(rng, _ACCESS) if whole(rng, 1, 5) == 1 else None,
    )
