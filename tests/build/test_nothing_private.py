"""No file of the project says where it was made or where its packages were fetched."""

import re
import subprocess

import pytest

from service_worker.build.places import HERE

# In pieces, so that this file does not find itself.
MARKS = [
    "pypi" + r"\.org",
    "python" + "hosted",
    "npm" + r"js\.(org|com)",
    r"(?<![\w.])/ro" + "ot/",
    r"(?<![\w.])/wo" + "rk/",
]
TEXT_SUFFIXES = {
    ".py",
    ".ts",
    ".md",
    ".toml",
    ".lock",
    ".json",
    ".yaml",
    ".css",
    ".html",
    ".txt",
    ".webmanifest",
    ".js",
    "",
}


@pytest.fixture(scope="module")
def texts():
    listed = subprocess.run(["git", "ls-files", "-z"], cwd=HERE.root, capture_output=True, text=True, check=True).stdout
    paths = [HERE.root / name for name in listed.split("\0") if name]
    return {path: path.read_text("utf-8") for path in paths if path.suffix in TEXT_SUFFIXES and path.is_file()}


@pytest.mark.parametrize("mark", MARKS)
def test_no_file_names_a_registry_or_a_folder_of_a_machine(texts, mark):
    pattern = re.compile(mark)
    assert len(texts) > 100
    assert [str(path.relative_to(HERE.root)) for path, text in texts.items() if pattern.search(text)] == []
