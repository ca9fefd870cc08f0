"""Flask: routes requests to ports; console, phone simulator page, health."""
