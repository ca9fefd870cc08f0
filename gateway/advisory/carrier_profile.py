"""What is set about a carrier: typed values that a file of flows/carriers/ becomes.

Secrets are never here: only the names of the environment variables that hold them.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal

from gateway.advisory.errors import GatewayError
from gateway.advisory.records import ReceiptState

# -- where a value stands -------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class FieldAt:
    """Where one value stands: a form or query field, a path in JSON, a header, the whole body.

    In a JSON path a whole number also picks from a list. ``header`` and ``body`` are for answers.
    """

    place: Literal["form", "query", "json", "header", "body"]
    path: tuple[str, ...]

    @property
    def name(self) -> str:
        """The field as people write it, for errors: the name, never the value."""
        return ".".join(self.path) or self.place


# -- who is calling -------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Token:
    """A shared word in a header or in the query; ``prefix`` stands before it in the header."""

    place: Literal["header", "query"]
    name: str
    secret: str
    prefix: str = ""


@dataclass(frozen=True, slots=True)
class Basic:
    """Name and password by HTTP Basic. Source: RFC 7617."""

    user: str
    password: str


@dataclass(frozen=True, slots=True)
class Signature:
    """HMAC-SHA-256 over timestamp (Unix seconds), ".", raw body. Source: RFC 2104, FIPS 180-4."""

    secret: str
    signature_header: str
    timestamp_header: str
    encoding: Literal["hex", "base64"]
    window_s: int
    prefix: str = ""


Proof = Token | Basic | Signature
Login = Token | Basic

# -- inbound --------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Reply:
    """What to give back: content type and body; in a USSD reply the body holds ``{text}``."""

    type: str
    body: str


@dataclass(frozen=True, slots=True)
class TextFields:
    """The fields of an inbound text."""

    sender: FieldAt
    body: FieldAt
    reference: FieldAt | None = None
    time: FieldAt | None = None


@dataclass(frozen=True, slots=True)
class ReceiptFields:
    """The fields of a receipt, and which operator's word (case ignored) means which state."""

    reference: FieldAt
    word: FieldAt
    states: Mapping[str, ReceiptState]
    detail: FieldAt | None = None


@dataclass(frozen=True, slots=True)
class DialFields:
    """The fields of one step of a USSD dialogue and the two forms of its reply.

    ``phase`` is a field that tells the step by one of ``begin_words`` or ``gone_words``; without
    it, a step without an entry is the first. With ``chain`` the operator sends all entries so far
    joined by it, and the last one counts.
    """

    session: FieldAt
    sender: FieldAt
    go_on: Reply
    end: Reply
    entry: FieldAt | None = None
    chain: str | None = None
    phase: FieldAt | None = None
    begin_words: frozenset[str] = frozenset()
    gone_words: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Listening:
    """How callbacks are proven, read and answered. ``region`` is ISO 3166, two letters."""

    proof: Proof
    reply: Reply
    largest_body_bytes: int
    methods: frozenset[str]
    text: TextFields | None = None
    receipt: ReceiptFields | None = None
    ussd: DialFields | None = None
    region: str | None = None


# -- outbound -------------------------------------------------------------------------------------

Outcome = Literal["handed-over", "refused", "try-again", "in-doubt", "link-down"]


@dataclass(frozen=True, slots=True)
class AnswerRow:
    """One row of the table of answers: status codes from-to, both included, and words if any."""

    from_status: int
    to_status: int
    outcome: Outcome
    words: frozenset[str] | None = None
    wait_s: float | None = None


@dataclass(frozen=True, slots=True)
class Answers:
    """What an answer means: the first row that fits; none fits: the text is in doubt."""

    rows: tuple[AnswerRow, ...]
    wait_at_most_s: float
    reference: FieldAt | None = None
    word: FieldAt | None = None


@dataclass(frozen=True, slots=True)
class Sending:
    """The request that hands a text over. Placeholders: {to} {text} {from} {id}.

    ``body`` is a flat mapping for form and query, any JSON value for json. ``connect_s`` and
    ``answer_s`` are the longest waits for the connection and, in all, for the whole answer.
    """

    method: Literal["POST", "PUT", "GET"]
    url: str
    headers: tuple[tuple[str, str], ...]
    form: Literal["form", "json", "query"]
    body: Any
    login: Login | None
    number_form: Literal["plus", "digits"]
    connect_s: float
    answer_s: float
    largest_answer_bytes: int
    link_wait_s: float
    answers: Answers


# -- the simulator --------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Simulated:
    """How the simulated link behaves. Shares lie between 0 and 1, times are seconds.

    A lost text out is taken and never arrives; a lost text in never reaches us. ``repeat`` doubles
    callbacks and receipts, ``reorder`` holds one back by ``hold_back_s`` so that later ones
    overtake it. Of the texts taken, ``delivered`` and ``undeliverable`` get that receipt, the rest
    none. ``in_doubt`` loses our answer of the hand-over; whether the text was taken is a toss.
    A callback that meets a store that is down comes again after ``again_s``.
    """

    seed: int
    delay_s: tuple[float, float]
    receipt_delay_s: tuple[float, float]
    loss: float
    repeat: float
    reorder: float
    hold_back_s: float
    delivered: float
    undeliverable: float
    in_doubt: float
    again_s: float
    link_wait_s: float
    link_down: bool = False


# -- the whole ------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Price:
    """The price of one segment out; ``currency`` is ISO 4217 (XXX where there is none)."""

    each: float
    currency: str


@dataclass(frozen=True, slots=True)
class CarrierProfile:
    """A carrier as set up. ``sender`` is the address that a phone sees our texts come from."""

    name: str
    title: str
    kind: Literal["http", "simulator"]
    sender: str
    can_be_answered: bool
    texts_in_paid_by: Literal["grower", "office"]
    price: Price | None
    listening: Listening
    sending: Sending | None = None
    simulated: Simulated | None = None

    def secret_names(self) -> tuple[str, ...]:
        """The environment variables that this carrier needs, each once, in order."""
        parts = [self.listening.proof, self.sending.login if self.sending else None]
        return tuple(dict.fromkeys(name for part in parts for name in _names(part)))


def _names(part: Proof | None) -> tuple[str, ...]:
    if isinstance(part, Basic):
        return (part.user, part.password)
    return (part.secret,) if part else ()


@dataclass
class SecretNotUsable(GatewayError):
    """A secret that a carrier needs is not set, or cannot travel. Names the variable, never it."""

    carrier: str
    variables: tuple[str, ...]
    cause: str

    def __str__(self) -> str:
        return f"carrier {self.carrier}: {', '.join(self.variables)}: {self.cause}"
