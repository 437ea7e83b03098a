"""Finding a browser must never hang and never give a path that is not there."""

import subprocess
import sys

import pytest

from e2e import setup_browser


@pytest.fixture
def ways(monkeypatch, tmp_path):
    """Nothing is found and nothing may be brought, unless a test says so."""
    monkeypatch.setattr(setup_browser, "NOTE", tmp_path / "note")
    monkeypatch.delenv("UNDERCROFT_CHROMIUM", raising=False)
    for name in ("_playwrights_own", "_systems", "_from_apt"):
        monkeypatch.setattr(setup_browser, name, lambda: None)
    return monkeypatch


def test_the_one_that_was_named_wins(ways):
    ways.setenv("UNDERCROFT_CHROMIUM", "/opt/mine")
    ways.setattr(setup_browser, "_systems", lambda: "/usr/bin/other")
    assert setup_browser.chromium_path() == "/opt/mine"


def test_what_was_found_once_is_not_looked_for_again(ways):
    ways.setattr(setup_browser, "_systems", lambda: sys.executable)
    assert setup_browser.chromium_path() == sys.executable
    ways.setattr(setup_browser, "_systems", lambda: pytest.fail("looked again"))
    assert setup_browser.chromium_path() == sys.executable


def test_a_note_of_a_browser_that_is_gone_is_not_believed(ways):
    setup_browser.NOTE.write_text("/gone/chromium", "utf-8")
    ways.setattr(setup_browser, "_from_apt", lambda: "/usr/bin/chromium")
    assert setup_browser.chromium_path() == "/usr/bin/chromium"


def test_without_any_browser_it_says_what_to_do(ways):
    with pytest.raises(setup_browser.NoBrowser, match="UNDERCROFT_CHROMIUM"):
        setup_browser.chromium_path()


def test_a_step_that_hangs_is_left_behind(capsys):
    sleep = [sys.executable, "-c", "import time; time.sleep(60)"]
    assert setup_browser._ran(sleep, 0.5) is False
    assert "going on" in capsys.readouterr().err


def test_a_step_that_fails_is_said_in_one_line(capsys):
    assert setup_browser._ran([sys.executable, "-c", "raise SystemExit(3)"], 30) is False
    assert capsys.readouterr().err.count("\n") == 1


def test_the_command_prints_the_path_of_a_program_that_runs():
    path = subprocess.run(
        [sys.executable, "-m", "e2e.setup_browser"], capture_output=True, text=True, check=True, timeout=500
    ).stdout.strip()
    version = subprocess.run([path, "--version"], capture_output=True, text=True, check=True, timeout=60).stdout
    assert "Chrom" in version
