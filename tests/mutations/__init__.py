"""Proof that the tests can fail: with a core function replaced by a constant, they must."""
