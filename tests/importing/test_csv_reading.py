"""RFC 4180, and what spreadsheets make of it. The rules are those of its section 2, by number."""

from __future__ import annotations

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from webapp.errors import BadForm
from webapp.importing import csv_reading
from webapp.importing.csv_reading import LARGEST_FILE_BYTES, MOST_REREADS, read_sheet


def rows(text: str) -> list[tuple[int, dict[str, str]]]:
    sheet = read_sheet(text.encode())
    assert sheet.faults == []
    return [(row.line, row.values) for row in sheet.rows]


def faults(text: str) -> list[tuple[int, str]]:
    return [(fault.line, fault.words) for fault in read_sheet(text.encode()).faults]


def refusal(content: bytes) -> str:
    with pytest.raises(BadForm) as refused:
        read_sheet(content)
    return str(refused.value.message)


def test_rule_1_records_are_parted_by_crlf() -> None:
    # "aaa,bbb,ccc CRLF zzz,yyy,xxx CRLF", under our own names.
    assert rows("street,town,note\r\naaa,bbb,ccc\r\nzzz,yyy,xxx\r\n") == [
        (2, {"street": "aaa", "town": "bbb", "note": "ccc"}),
        (3, {"street": "zzz", "town": "yyy", "note": "xxx"}),
    ]


def test_rule_2_the_last_record_may_have_no_line_break() -> None:
    assert [line for line, _ in rows("street,town\r\naaa,bbb\r\nzzz,yyy")] == [2, 3]


def test_rule_3_the_header_names_the_fields_in_any_order() -> None:
    assert rows("town,note,street\r\nbbb,ccc,aaa\r\n") == [(2, {"street": "aaa", "town": "bbb", "note": "ccc"})]


def test_rule_4_every_line_has_the_same_number_of_fields() -> None:
    told = faults("street,town,note\r\naaa,bbb\r\naaa,bbb,c,c\r\naaa,bbb,ccc\r\n")
    assert [line for line, _ in told] == [2, 3]
    assert "Has 2 fields where the first line names 3" in told[0][1]


def test_rule_4_spaces_belong_to_the_field_but_not_around_it() -> None:
    assert rows("street,town\r\n 12  Mill Lane , bbb\r\n")[0][1]["street"] == "12  Mill Lane"


def test_rule_5_fields_may_stand_in_quotes() -> None:
    assert rows('"street","town","note"\r\n"aaa","bbb","ccc"\r\nzzz,yyy,xxx')[0][1]["street"] == "aaa"


def test_rule_5_a_quote_inside_a_bare_field_is_only_a_character() -> None:
    # RFC 4180 does not allow it, every spreadsheet reads it: 3/4" pipe.
    assert rows('street,town,note\naaa,bbb,3/4" pipe\n')[0][1]["note"] == '3/4" pipe'


def test_rule_6_line_breaks_quotes_and_commas_stand_in_quotes() -> None:
    assert rows('street,town,note\r\n"aaa","b \r\nbb","ccc"\r\nzzz,"y,y",xxx') == [
        (2, {"street": "aaa", "town": "b \r\nbb", "note": "ccc"}),
        (4, {"street": "zzz", "town": "y,y", "note": "xxx"}),
    ]


def test_rule_7_a_quote_in_quotes_is_written_twice() -> None:
    assert rows('street,town,note\r\n"aaa","b""bb","ccc"')[0][1]["town"] == 'b"bb'


@pytest.mark.parametrize("separator", [",", ";", "\t"])
@pytest.mark.parametrize("line_break", ["\r\n", "\n", "\r"])
@pytest.mark.parametrize("mark", ["", "\ufeff"])
def test_a_byte_order_mark_other_separators_and_other_line_breaks_are_read(
    separator: str, line_break: str, mark: str
) -> None:
    told = mark + line_break.join(
        separator.join(one) for one in (("street", "town"), ("Süd 1", "b"), ("", ""), ("c", "d"))
    )
    assert [values["street"] for _, values in rows(told)] == ["Süd 1", "c"]


@given(
    st.lists(
        st.lists(st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0")), min_size=3, max_size=3),
        max_size=8,
    )
)
def test_whatever_the_standard_librarys_writer_writes_is_read_as_it_was(written: list[list[str]]) -> None:
    file = io.StringIO()
    csv.writer(file).writerows([["street", "town", "note"], *written])
    found = read_sheet(file.getvalue().encode())
    wanted = [[one.strip() for one in row] for row in written if any(one.strip() for one in row)]
    assert found.faults == []
    assert [list(row.values.values()) for row in found.rows] == wanted


def test_names_of_columns_may_have_capitals_spaces_and_hyphens() -> None:
    assert rows("Street,TOWN,Customer Name,Visited-on\na,b,c,\n")[0][1]["customer_name"] == "c"


def test_columns_that_are_not_known_are_told() -> None:
    assert read_sheet(b"street,town,shoe size\na,b,42\n").unread == ["shoe_size"]


def test_a_quote_that_is_never_closed_costs_its_own_line_alone() -> None:
    sheet = read_sheet(b'street,town,note\n1,b,c\n2,b,"open\n3,b,c\n4,b,c\n')
    assert [row.values["street"] for row in sheet.rows] == ["1", "3", "4"]
    assert [(fault.line, "never closed" in fault.words) for fault in sheet.faults] == [(3, True)]


def test_a_quote_that_ends_in_a_later_field_costs_no_line_between() -> None:
    sheet = read_sheet(b'street,town,note\n2,b,"open\n3,b,c\n4,b,"good"\n')
    assert [row.values["street"] for row in sheet.rows] == ["3", "4"]
    assert [fault.line for fault in sheet.faults] == [2]


def test_a_file_full_of_odd_quotes_is_given_up_and_says_where() -> None:
    text = "street,town,note\n" + '1,b,"open\n2,b,"x" y\n' * (MOST_REREADS + 5)
    told = faults(text)
    assert "From here on nothing was read" in told[-1][1]
    assert told[-1][0] < text.count("\n")


def test_a_file_that_cannot_be_read_at_all_is_refused_with_what_to_do(monkeypatch: pytest.MonkeyPatch) -> None:
    assert "empty" in refusal(b"")
    assert "empty" in refusal(b"\n \r\n,,\n")
    assert "Line 2 is not UTF-8 text" in refusal("street,town\nSüd,b\n".encode("latin-1"))
    assert "larger than 5 MB" in refusal(b"x" * (LARGEST_FILE_BYTES + 1))
    assert "town must be there. It says: street, city" in refusal(b"street,city\na,b\n")
    assert "there twice: town" in refusal(b"street,town,Town\na,b,c\n")
    assert "cannot be read" in refusal(b'street,"town"x\na,b\n')
    monkeypatch.setattr(csv_reading, "MOST_ROWS", 2)
    assert len(read_sheet(b"street,town\na,b\n\na,b\n").rows) == 2
    assert "More than 2 lines" in refusal(b"street,town\na,b\na,b\na,b\n")
