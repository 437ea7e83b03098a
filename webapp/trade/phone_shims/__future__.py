"""Phone only: the phone's engine has no `__future__`; annotations are ignored there anyway."""

annotations = None
