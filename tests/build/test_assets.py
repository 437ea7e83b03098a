from service_worker.build.assets import Assets, digest_of, integrity


def test_integrity_is_written_as_the_standards_write_it():
    # W3C Content Security Policy, "usage of hash sources", has this script and this hash (from memory of the text).
    assert integrity(b"alert('Hello, world.');") == "sha256-qznLcsROx4GACP2dm0UCKCzCG+HiZ1guq6ZZDob/Tng="


def test_an_address_changes_exactly_when_the_bytes_do():
    first, again, other = Assets().add("app.js", b"1"), Assets().add("app.js", b"1"), Assets().add("app.js", b"2")
    assert first == again != other
    assert first.startswith("/phone/assets/app-")
    assert first.endswith(".js")


def test_files_of_one_name_in_two_folders_stay_apart():
    assets = Assets()
    assert assets.add("engine/webapp/__init__.mpy", b"") != assets.add("engine/webapp/trade/__init__.mpy", b"")


def test_the_precache_list_has_every_file_once_in_a_fixed_order():
    assets = Assets()
    assets.put("/phone/", b"index")
    urls = [assets.add("b.js", b"b"), assets.add("a.js", b"a"), "/phone/"]
    assert [row["url"] for row in assets.precache()] == sorted(urls)


def test_the_digest_of_files_knows_names_and_contents_but_no_order():
    assert digest_of({"a": b"1", "b": b"2"}) == digest_of({"b": b"2", "a": b"1"})
    assert digest_of({"a": b"1", "b": b"2"}) != digest_of({"a": b"2", "b": b"1"})
