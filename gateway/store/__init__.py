"""SQLAlchemy tables, units of work, and queries for the console as plain rows."""
