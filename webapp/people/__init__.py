"""People: sign-in, roles, phones."""
