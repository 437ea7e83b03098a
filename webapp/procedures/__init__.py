"""What to check on which kind of heater: YAML, data and no code; compiled and validated here (docs/procedures.md)."""

from webapp.procedures.loader import compiled, list_procedures

__all__ = ["compiled", "list_procedures"]
