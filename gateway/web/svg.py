"""Writing SVG: elements with every value escaped."""

from markupsafe import Markup, escape


def tag(name: str, *inside: object, **values: object) -> Markup:
    """One element. ``class_`` becomes class, other underscores hyphens; text inside is escaped."""
    written = Markup("").join(
        Markup(' {}="{}"').format(Markup(_key(key)), _value(value))
        for key, value in values.items()
        if value is not None
    )
    body = Markup("").join(escape(part) for part in inside)
    return Markup("<{0}{1}>{2}</{0}>").format(Markup(name), written, body)


def together(*parts: object) -> Markup:
    """Elements one after the other."""
    return Markup("").join(escape(part) for part in parts)


def _key(key: str) -> str:
    bare = key.rstrip("_")
    return bare if bare in ("viewBox", "preserveAspectRatio") else bare.replace("_", "-")


def _value(value: object) -> str:
    return f"{value:.1f}".removesuffix(".0") if isinstance(value, float) else str(value)
