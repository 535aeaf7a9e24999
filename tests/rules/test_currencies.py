"""Currencies: the codes and decimals of ISO 4217, and none of a locale library's."""

import pytest

from ledger.rules._tables import table
from ledger.rules.currencies import Currency, CurrencyError, currencies, currency

# Source: ISO 4217:2015 list one as of January 2026 (read through two independent copies of it that agree).
DECIMALS = {
    0: "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF",
    3: "BHD IQD JOD KWD LYD OMR TND",
    4: "CLF UYW",
}
NO_UNIT = "XAG XAU XBA XBB XBC XBD XDR XPD XPT XSU XTS XUA XXX"


def active() -> dict[str, Currency]:
    return {code: found for code, found in currencies().items() if found.withdrawn is None}


def test_all_178_active_codes_are_there_13_of_them_without_a_unit() -> None:
    rows = [row for row in table("currencies").rows if "withdrawn" not in row.fields]
    assert len(rows) == 178
    assert {row.id for row in rows if row.fields["exponent"] is None} == set(NO_UNIT.split())
    assert len(active()) == 178 - 13


def test_every_active_code_has_the_decimals_of_the_standard() -> None:
    for exponent, codes in DECIMALS.items():
        assert {code for code, found in active().items() if found.exponent == exponent} == set(codes.split())
    assert {found.exponent for found in active().values()} == {0, 2, 3, 4}


@pytest.mark.parametrize(
    "code", ["AFN", "ALL", "IQD", "IRR", "KPW", "LAK", "LBP", "MGA", "MMK", "RSD", "SOS", "SYP", "YER"]
)
def test_where_locale_data_gives_other_decimals_the_standard_counts(code: str) -> None:
    # Source: ISO 4217 list one: 2 decimals, IQD 3. Unicode CLDR supplemental currency data says 0 for all thirteen.
    assert currency(code).exponent == (3 if code == "IQD" else 2)


@pytest.mark.parametrize(
    ("code", "exponent", "withdrawn"),
    # Source: ISO 4217 list three for the months; java.util.Currency of OpenJDK 17 for the decimals.
    [
        ("DEM", 2, "2002-03"),
        ("FRF", 2, "2002-03"),
        ("ITL", 0, "2002-03"),
        ("ESP", 0, "2002-03"),
        ("NLG", 2, "2002-03"),
        ("BEF", 0, "2002-03"),
        ("ATS", 2, "2002-03"),
        ("IEP", 2, "2002-03"),
        ("FIM", 2, "2002-03"),
        ("PTE", 0, "2002-03"),
        ("GRD", 0, "2002-03"),
        ("HRK", 2, "2023-01"),
        ("BGN", 2, "2026-01"),
    ],
)
def test_a_withdrawn_code_still_counts_old_purchases(code: str, exponent: int, withdrawn: str) -> None:
    assert currency(code) == Currency(code, exponent, withdrawn)


def test_no_code_is_both_active_and_withdrawn() -> None:
    rows = table("currencies").rows
    assert len({row.id for row in rows}) == len(rows)
    assert all(len(row.id) == 3 and row.id.isascii() and row.id.isupper() for row in rows)


@pytest.mark.parametrize("code", [*NO_UNIT.split()])
def test_a_code_without_a_unit_counts_no_money(code: str) -> None:
    with pytest.raises(CurrencyError) as caught:
        currency(code)
    assert caught.value.code == code
    assert "no smallest unit" in caught.value.problem


@pytest.mark.parametrize("code", ["", "usd", "US", "QQQ", "$"])
def test_a_code_that_is_not_in_the_standard_is_refused(code: str) -> None:
    with pytest.raises(CurrencyError) as caught:
        currency(code)
    assert "three capital letters" in caught.value.mend


def test_every_sign_stands_only_for_currencies_that_exist() -> None:
    for row in table("currency_signs").rows:
        assert len(row.id) == 1
        assert all(code in currencies() for code in row.texts("codes"))
