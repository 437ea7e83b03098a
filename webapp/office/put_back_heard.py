"""What the office heard of a heater that somebody else put back: it saw nothing of it itself."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from webapp.sites.phrases import measured
from webapp.trade.put_back_counts import heard_without

AGAINST = "What you found unsafe there yourself, or CO that you read and did not answer, speaks against it."


@dataclass(frozen=True)
class PutBackHeard:
    """Who put it back, when, what was put right, and the room's CO as they read it after it ran."""

    who: str
    when: str
    work: str
    co_room_ppm: float | None

    def body(self, left_off_ids: list[str]) -> dict[str, Any]:
        """Of the event."""
        told = {"who_words": self.who, "when_words": self.when, "work_words": self.work}
        known = {name: words for name, words in told.items() if words}
        ppm = {} if self.co_room_ppm is None else {"co_room_ppm": self.co_room_ppm}
        return {"words": self.words, "left_off_ids": left_off_ids, **known, **ppm}

    @property
    def words(self) -> str:
        """As every page quotes it, with what nobody said."""
        read = "not read" if self.co_room_ppm is None else measured("co_room_ppm", self.co_room_ppm)
        when, work = self.when or "when is not said", self.work or "what was put right is not said"
        return f"{self.who}, {when}: {work}; CO in the room after it ran: {read}"

    @property
    def why_not(self) -> str:
        """Why it ended nothing; where all was told, something found at the heater speaks against it."""
        missing = ", ".join(heard_without(self.body([])))
        return f"Missing: {missing}." if missing else AGAINST
