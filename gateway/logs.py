"""The log: to standard error, and no phone number in it."""

import logging

from gateway.advisory.number import hide_numbers


class MaskedFormatter(logging.Formatter):
    """Hides every long run of digits, tracebacks included: no number of a phone reaches a log."""

    def format(self, record: logging.LogRecord) -> str:
        """The line as always, with numbers masked."""
        return hide_numbers(super().format(record))


def open_log(level: str) -> None:
    """Log to standard error, masked."""
    handler = logging.StreamHandler()
    handler.setFormatter(MaskedFormatter("%(levelname)-7s %(name)s: %(message)s"))
    logging.basicConfig(level=level.upper(), handlers=[handler], force=True)
