from tests.sync.conftest import phone  # noqa: F401 (the fixture is used by its name)
