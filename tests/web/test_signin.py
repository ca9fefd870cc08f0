"""Signing in: who gets in, what a guesser learns, what a cookie and a form must carry."""

from datetime import timedelta

import pytest

from tests.web.conftest import PASSWORD, Visitor


def entered(visitor, name="maro", password=PASSWORD, wanted=""):
    return visitor.send("/sign-in", "/sign-in", name=name, password=password, next=wanted)


def test_the_right_password_opens_the_reply_log(visitor):
    answer = entered(visitor)
    assert (answer.status_code, answer.location) == (302, "/log")
    assert visitor.get("/log").status_code == 200


def test_an_unknown_name_and_a_wrong_password_get_the_same_answer(visitor):
    unknown, wrong = entered(visitor, "nobody"), entered(visitor, "maro", "wrong")
    assert unknown.status_code == wrong.status_code == 403
    assert unknown.text == wrong.text
    assert "do not go together" in wrong.text


@pytest.mark.parametrize("name", ["maro", "nobody"])
def test_after_five_failures_even_the_right_password_waits(place, visitor, name):
    for _ in range(5):
        assert entered(visitor, name, "wrong").status_code == 403
    assert entered(visitor, name).status_code == 429
    place.clock.move(timedelta(seconds=31))
    assert entered(visitor, name).status_code in (302, 403)


def test_waiting_is_over_for_who_knows_the_password(place, visitor):
    for _ in range(5):
        entered(visitor, "maro", "wrong")
    place.clock.move(timedelta(seconds=31))
    assert entered(visitor).status_code == 302


def test_the_cookie_is_kept_from_scripts_and_from_foreign_forms(visitor):
    cookie = entered(visitor).headers["Set-Cookie"]
    assert "HttpOnly" in cookie
    assert "SameSite=Lax" in cookie
    assert "Secure" not in cookie


def test_over_https_the_cookie_travels_by_https_only(place):
    client = place.house.app.test_client()
    cookie = client.get("/sign-in", base_url="https://localhost").headers["Set-Cookie"]
    assert "Secure" in cookie


def test_the_session_from_before_signing_in_is_dropped(visitor):
    before = visitor.form_of("/sign-in")
    visitor.sign_in("maro")
    assert visitor.form_of("/account") != before
    assert visitor.client.post("/sign-out", data={"form": before}).status_code == 403


def test_signing_out_shuts_the_pages(officer):
    assert officer.send("/account", "/sign-out").status_code == 302
    assert officer.get("/log").status_code == 302


def test_somebody_made_inactive_is_out_at_once(place, officer):
    store = place.house.store
    with store.begin() as unit:
        user = unit.office.check("maro", PASSWORD)
        assert user is not None
        unit.work.conn.exec_driver_sql("UPDATE office_user SET active = 0 WHERE name = 'maro'")
        unit.commit()
    assert officer.get("/log").status_code == 302


@pytest.mark.parametrize(
    "wanted",
    ["//elsewhere.example/", "/\\elsewhere.example", "https://elsewhere.example/", "/a\nb", ""],
)
def test_signing_in_never_leads_to_another_site(visitor, wanted):
    assert entered(visitor, wanted=wanted).location == "/log"


def test_signing_in_leads_to_the_page_that_was_wanted(visitor):
    asked = visitor.get("/log?plot=H07")
    assert asked.location == "/sign-in?next=/log?plot%3DH07"
    assert entered(visitor, wanted="/log?plot=H07").location == "/log?plot=H07"


@pytest.mark.parametrize("token", [None, "", "guessed"])
def test_a_form_without_its_token_is_refused(visitor: Visitor, token):
    visitor.form_of("/sign-in")
    data = {"name": "maro", "password": PASSWORD} | ({} if token is None else {"form": token})
    assert visitor.client.post("/sign-in", data=data).status_code == 403
    assert visitor.get("/log").status_code == 302


def test_a_form_without_any_session_is_refused(place):
    client = place.house.app.test_client()
    assert client.post("/sign-in", data={"name": "maro", "password": PASSWORD}).status_code == 403


@pytest.mark.parametrize(
    "strange",
    [
        pytest.param("x" * 10_000, id="10,000 letters"),
        "\x00",
        "maro\x00",
        "\u202eoram",
        "' OR 1=1 --",
    ],
)
def test_strange_names_are_only_wrong(visitor, strange):
    assert entered(visitor, strange[:60_000]).status_code == 403


def test_signing_in_and_out_is_on_record(place, officer):
    officer.send("/account", "/sign-out")
    with place.house.store.begin(write=False) as unit:
        found = unit.work.conn.exec_driver_sql("SELECT who, what FROM audit").all()
    assert ("maro", "signed in") in found
    assert ("maro", "signed out") in found
