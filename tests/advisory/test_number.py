"""Phone numbers: E.164 by the phonenumbers library, and a value that never shows itself."""

import pytest

from gateway.advisory.errors import NotANumber
from gateway.advisory.number import Number, hide_numbers, read_number

# Numbers of ranges kept for fiction: 555-0100 to -0199 (NANP), 07700 900xxx (UK, Ofcom).
READ = {
    "+12025550107": "+12025550107",
    "12025550107": "+12025550107",
    "0012025550107": "+12025550107",
    "+1 (202) 555-0107": "+12025550107",
    "+44 7700 900123": "+447700900123",
    "+\u09e7\u09e8\u09e6\u09e8\u09eb\u09eb\u09eb\u09e6\u09e7\u09e6\u09ed": "+12025550107",
    "+\u0661\u0662\u0660\u0662\u0665\u0665\u0665\u0660\u0661\u0660\u0667": "+12025550107",
}


@pytest.mark.parametrize(("text", "e164"), list(READ.items()))
def test_a_number_is_read_as_e164(text: str, e164: str) -> None:
    assert read_number(text).reveal() == e164


def test_a_number_without_country_code_is_read_by_its_region() -> None:
    assert read_number("07700 900123", "GB").reveal() == "+447700900123"


@pytest.mark.parametrize(
    "text", ["", "hello", "12", "+1202555010799999999", "+12025550107 ext 5", "+0", "RIVERLINK"]
)
def test_what_is_no_number_is_refused_without_being_repeated(text: str) -> None:
    with pytest.raises(NotANumber) as refused:
        read_number(text)
    assert not text or text not in str(refused.value)


@pytest.mark.parametrize("show", [str, repr, "{}".format, "{!r}".format, "%s".__mod__])
def test_a_number_never_shows_itself(show) -> None:  # type: ignore[no-untyped-def]
    shown = show(Number("+12025550107"))
    assert "2025550" not in shown
    assert "07" in shown


@pytest.mark.parametrize(
    ("text", "kept"),
    [
        ("call +12025550107 now", "call •••••07 now"),
        ("call 202-555-0107", "call •••••07"),
        ("H07 -12", "H07 -12"),
        ("10.5 cm on 2026-03-10 05:30:00", "10.5 cm on 2026-03-10 05:30:00"),
        ("+1 (202) 555 - 0107.", "•••••07."),
    ],
)
def test_long_digit_runs_are_hidden_on_screens_and_in_logs(text: str, kept: str) -> None:
    assert hide_numbers(text) == kept
