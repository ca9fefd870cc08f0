"""The use cases, one verb a file, over ports. This room knows neither Flask nor SQLAlchemy."""
