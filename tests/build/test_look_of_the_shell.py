import pytest

from service_worker.build.look import app_css


def sheet(tmp_path, text):
    path = tmp_path / "sheet.css"
    path.write_text(text, "utf-8")
    return path


@pytest.mark.parametrize("quotes", ["'{}'", '"{}"', "{}"])
def test_a_font_gets_the_address_of_its_asset(tmp_path, quotes):
    source = sheet(tmp_path, f"@font-face {{ src: url({quotes.format('built/fonts/face.woff2')}) }}")
    assert app_css([source], {"face.woff2": "/phone/assets/face-1.woff2"}) == (
        b'@font-face { src: url("/phone/assets/face-1.woff2") }'
    )


def test_a_sheet_that_asks_for_a_file_we_do_not_ship_stops_the_build(tmp_path):
    with pytest.raises(KeyError):
        app_css([sheet(tmp_path, "a { background: url(lamp.png) }")], {})


def test_data_addresses_stay_as_they_are(tmp_path):
    text = 'a { background: url("data:image/svg+xml,%3Csvg/%3E") }'
    assert app_css([sheet(tmp_path, text)], {}) == text.encode()


def test_sheets_keep_the_order_of_the_cascade(tmp_path):
    (tmp_path / "b.css").write_text("second", "utf-8")
    assert app_css([sheet(tmp_path, "first"), tmp_path / "b.css"], {}) == b"first\nsecond"
