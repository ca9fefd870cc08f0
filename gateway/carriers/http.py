"""A carrier that is reached, and calls back, over HTTP as its profile says."""

from collections.abc import Mapping

from gateway.advisory.carrier_profile import CarrierProfile, SecretNotUsable
from gateway.advisory.parcels import Parcel
from gateway.advisory.records import Handing
from gateway.carriers.answered import handing_of
from gateway.carriers.listen import ProfileListener
from gateway.carriers.outgoing import request_for
from gateway.carriers.wire import NotSent, Unsure, Wire


class HttpCarrier(ProfileListener):
    """Both directions of a carrier over HTTP: a Carrier and a Listener.

    ``secrets`` maps the names that the profile gives to their values. Raises SecretNotUsable where
    one is missing or cannot stand in a header.
    """

    def __init__(self, profile: CarrierProfile, secrets: Mapping[str, str], wire: Wire) -> None:
        if profile.sending is None:
            raise ValueError(f"carrier {profile.name} has no send part")
        _check(profile, secrets)
        super().__init__(profile, secrets)
        self.profile = profile
        self._sending, self._wire = profile.sending, wire

    def send(self, parcel: Parcel) -> Handing:
        """Hand one text over, once: what failed after it began to leave is in doubt."""
        request = request_for(self.profile, self._sending, self._secrets, parcel)
        try:
            answer = self._wire.ask(request)
        except NotSent as trouble:
            return Handing("link-down", words=str(trouble), wait_s=self._sending.link_wait_s)
        except Unsure as trouble:
            return Handing("in-doubt", words=str(trouble))
        return handing_of(self._sending.answers, self._sending.link_wait_s, answer)


def _check(profile: CarrierProfile, secrets: Mapping[str, str]) -> None:
    missing = tuple(name for name in profile.secret_names() if not secrets.get(name))
    if missing:
        raise SecretNotUsable(profile.name, missing, "not set")
    odd = tuple(name for name in profile.secret_names() if not _can_travel(secrets[name]))
    if odd:
        raise SecretNotUsable(profile.name, odd, "need printable ASCII, without line breaks")


def _can_travel(value: str) -> bool:
    return value.isascii() and value.isprintable()
