"""What every test may use."""

pytest_plugins = ("tests.databases", "tests.remembered")
