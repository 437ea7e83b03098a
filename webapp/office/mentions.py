"""What is typed during a call mentions gas, an alarm or somebody unwell, and the question is not ticked."""

from __future__ import annotations

from typing import TYPE_CHECKING

from webapp.trade.said_words import mentioned_in, words_for

if TYPE_CHECKING:
    from collections.abc import Mapping

TYPED_WORDS = ("complaint_words", "since_words", "home_words", "lately_words", "lights_words")


def mentions_of(typed: Mapping[str, str]) -> list[str]:
    """A line for each question that was not answered on the form. A reminder: nothing is held up by it."""
    words = " . ".join(typed.get(name, "") for name in TYPED_WORDS)
    return words_for([question for question in mentioned_in(words) if not typed.get(question)])
