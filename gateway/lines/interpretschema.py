"""The JSON Schemas of `gateway interpret`."""

from typing import Any, get_args

from gateway.messages.heard import Kind


def interpret_schema() -> dict[str, Any]:
    """The JSON Schemas (2020-12) of a line in and a line out."""
    return {"in": _schema_in(), "out": _schema_out()}


def _schema_in() -> dict[str, Any]:
    return _object(
        "One text and what is known of the phone that sent it.",
        {
            "text": {"type": "string", "description": "the text as it came"},
            "plots": {
                "type": "array",
                "items": {"type": "string", "minLength": 1},
                "default": [],
                "description": "codes of the plots that this phone reads; no other is stored",
            },
            "language": {
                "type": "string",
                "default": "en",
                "description": "BCP 47; an unknown one is read as English, flag language-unknown",
            },
            "reads": {
                "type": "object",
                "additionalProperties": {"enum": ["soil", "rim"]},
                "description": "from where a plot's number is measured. rim: an unsigned number is "
                "the way down from the rim. soil: the number is from the soil surface, which does "
                "not tell below from above, so an unsigned number is still asked about",
            },
            "rim_cm": {
                "type": "object",
                "additionalProperties": {"type": ["number", "null"], "minimum": 0},
                "description": "height of a plot's rim above the soil, cm",
            },
            "unsigned": {
                "enum": ["ask", "below"],
                "default": "ask",
                "description": "what a number without sign or word means where no rim is read from",
            },
            "pending": {
                "description": "our open question to this phone",
                **_pending_schema(),
            },
            "today": {
                "type": "string",
                "format": "date",
                "description": "the day of the text where the plots lie; turns days into dates",
            },
        },
        ["text"],
    )


def _pending_schema() -> dict[str, Any]:
    return {
        "type": ["object", "null"],
        "additionalProperties": False,
        "properties": {
            "plot": {"type": ["string", "null"]},
            "candidates": {"type": "array", "items": {"type": ["number", "string"]}},
            "about": {"type": "string", "default": "sign"},
            "level_cm": {"type": ["number", "null"], "description": "kept with a plot question"},
            "dry": {"type": "boolean", "default": False},
        },
    }


def _schema_out() -> dict[str, Any]:
    text = {"type": ["string", "null"]}
    on = {
        **text,
        "description": "null: the day of the text; else yesterday, days back as -2, YYYY-MM-DD, or "
        "--MM-DD where the year is not known",
    }
    reading = _object(
        "A level at a plot's tube, cm, below the soil negative; a tube without water is dry.",
        {
            "plot": {"type": "string"},
            "level_cm": {"type": ["number", "null"]},
            "dry": {"type": "boolean"},
            "on": on,
            "supersedes": {"type": "boolean", "description": "it corrects an earlier report"},
        },
    )
    meaning = _object(
        "Something else that the text says. A meaning without plot beside a question about the "
        "plot waits for its answer. no with a kind as value: the text denies that kind.",
        {
            "kind": {"enum": list(get_args(Kind))},
            "plot": text,
            "value": {
                "type": ["number", "string", "null"],
                "description": "flooded cm, rain mm, tall cm, weeds few or many, nitrogen kg, bag "
                "or l, done h, language BCP 47, spray the product, outlet-open and outlet-shut the "
                "outlet as written, join the words that follow",
            },
            "unit": text,
            "on": on,
        },
    )
    return _object(
        "What the text means.",
        {
            "outcome": {"enum": ["accept", "ask", "reject"]},
            "readings": {"type": "array", "items": reading},
            "meanings": {"type": "array", "items": meaning},
            "ask": {"type": "array", "items": _ask_schema()},
            "flags": {"type": "array", "items": {"type": "string"}},
            "why": {"type": "string"},
        },
    )


def _ask_schema() -> dict[str, Any]:
    return {
        "type": "object",
        "additionalProperties": False,
        "required": ["plot", "about", "candidates"],
        "description": "What must be asked back.",
        "properties": {
            "plot": {"type": ["string", "null"]},
            "about": {"enum": ["sign", "number", "rim", "plot", "day", "order", "unclear"]},
            "candidates": {
                "type": "array",
                "items": {"type": ["number", "string"]},
                "description": "levels in cm, or for about plot the sender's own codes",
            },
            "level_cm": {
                "type": ["number", "null"],
                "description": "said, and waits for the answer",
            },
            "dry": {"type": "boolean"},
        },
    }


def _object(
    words: str, properties: dict[str, Any], required: list[str] | None = None
) -> dict[str, Any]:
    return {
        "type": "object",
        "description": words,
        "additionalProperties": False,
        "required": list(properties) if required is None else required,
        "properties": properties,
    }
