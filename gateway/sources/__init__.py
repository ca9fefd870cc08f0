"""Sheets coming in: lines of cells become entries, and every mistake in them is told at once."""
