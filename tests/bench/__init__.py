"""How fast it is: ``python -m tests.bench``. Every part runs as it is installed, over real pipes,
sockets and a database file; runs alternate, and medians are printed."""
