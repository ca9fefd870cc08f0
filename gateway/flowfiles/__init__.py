"""Reads and checks flows/ and locales/ and builds the typed values of lower rooms."""
