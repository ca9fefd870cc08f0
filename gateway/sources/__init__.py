"""Weather and spreadsheets coming in and going out."""
