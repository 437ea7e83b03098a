from service_worker.build.written import write_whole


def test_what_is_there_already_is_left_alone(tmp_path):
    path = tmp_path / "new" / "app.js"
    write_whole(path, "lamp")
    before = path.stat()
    write_whole(path, b"lamp")
    assert (path.read_text("utf-8"), path.stat().st_ino, path.stat().st_mtime_ns) == (
        "lamp",
        before.st_ino,
        before.st_mtime_ns,
    )


def test_who_has_the_old_file_open_reads_it_to_its_end(tmp_path):
    path = tmp_path / "app.js"
    write_whole(path, "the old one")
    with path.open("r", encoding="utf-8") as reader:
        write_whole(path, "the new one")
        assert reader.read() == "the old one"
    assert path.read_text("utf-8") == "the new one"
    assert list(tmp_path.iterdir()) == [path]
