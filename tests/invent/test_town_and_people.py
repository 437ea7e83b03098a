from __future__ import annotations

import re

from webapp.invent.chance import stream
from webapp.invent.makers import MAKERS, make_models
from webapp.invent.people import login_of, person_names
from webapp.invent.town import HOUSES_PER_STREET, address, street_name


def test_every_telephone_number_is_one_that_rings_nowhere() -> None:
    for number in range(0, 40_000, 3):
        area, line = re.fullmatch(r"\((\d{3})\) 555-(\d{4})", address(3, number).phone).groups()  # type: ignore[union-attr]
        assert area[0] in "01", "no area part of the North American plan begins with 0 or 1"
        assert 100 <= int(line) <= 199


def test_no_two_addresses_share_house_and_street() -> None:
    doors = {(a.street.split(" Apt")[0], a.town) for a in (address(3, n) for n in range(20_000))}
    assert len(doors) == 20_000


def test_streets_do_not_repeat_in_a_town_of_a_million_doors() -> None:
    streets = 1_000_000 // HOUSES_PER_STREET
    assert len({street_name(9, index) for index in range(streets)}) == streets


def test_postcodes_lie_below_the_first_real_one() -> None:
    assert all(re.fullmatch(r"00[12]\d\d", address(5, n).postcode) for n in range(5000))
    assert all(int(address(5, n).postcode) < 501 for n in range(5000))


def test_names_and_logins_of_a_big_company_are_all_different() -> None:
    names = person_names(stream(1, "x"), 1500)
    taken: set[str] = set()
    logins = [login_of(name, taken) for name in names]
    assert len(set(names)) == len(set(logins)) == 1500
    assert all(re.fullmatch(r"[a-z]+\d*", login) for login in logins)


def test_a_model_breaks_below_its_make_point_and_flashes_each_phase_its_own_way() -> None:
    for model in make_models(4, ["power_vent", "electric_tank"], each=40)["power_vent"]:
        assert 0 < model.break_point_in_wc < model.make_point_in_wc < 2
        assert len({count for _, count in model.flashes}) == len(model.flashes)
        assert model.maker in MAKERS


def test_an_electric_heater_has_no_gas_figures() -> None:
    assert all(m.fuel is None and m.input_btu_h is None for m in make_models(4, ["electric_tank"])["electric_tank"])
