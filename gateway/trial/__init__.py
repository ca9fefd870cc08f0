"""Synthetic fields, growers and a moving clock: rehearsal, simulations, tests."""
