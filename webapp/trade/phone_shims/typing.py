"""Phone only: just enough of `typing` for the `if TYPE_CHECKING:` blocks to be skipped."""

TYPE_CHECKING = False
