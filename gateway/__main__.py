"""``python -m gateway`` is the command ``gateway``."""

from gateway.cli import main

if __name__ == "__main__":
    main()
