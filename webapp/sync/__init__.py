"""The phone's API: push events, pull what changed, photos."""
