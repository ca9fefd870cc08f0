"""Checks every catalogue, and prints how near to its segment the longest answer comes.

``python -m tests.catalogues``: every message in every language, placeholders equal, each text
within its segments at its longest fields.
"""

import sys

from gateway.flowfiles.catalogues import check_catalogues, load_catalogues
from gateway.messages.segments import count_segments
from gateway.messages.worst import longest_text
from gateway.settings import shipped


def main() -> int:
    """Print the mistakes, or the longest routine answer of each language. 1 for mistakes."""
    mistakes = check_catalogues(shipped("locales"))
    for mistake in mistakes:
        print(mistake, file=sys.stderr)
    if mistakes:
        return 1
    for language, catalogue in load_catalogues(shipped("locales")).items():
        answers = [name for name in catalogue.words if name.startswith(("answer.", "notice."))]
        costs = {name: count_segments(longest_text(catalogue, name)) for name in answers}
        name = max(costs, key=lambda each: costs[each].units)
        state = "drafted" if catalogue.drafted else f"read aloud by {catalogue.read_by}"
        print(
            f"{language}: {len(catalogue.words)} texts, {state}; the longest answer is {name}: "
            f"{costs[name].units} units of {costs[name].encoding}, {costs[name].segments} segment"
        )
    return 0


if __name__ == "__main__":
    sys.exit(main())
