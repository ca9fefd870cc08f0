"""The JSON-lines contracts of the command line, as schemas and pipes."""
