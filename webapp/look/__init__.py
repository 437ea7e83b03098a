"""How it looks: the tokens, type and styles that the office and the phone's shell share."""
